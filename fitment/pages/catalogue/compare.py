"""What lies between two editions: the rows that differ, column by column."""

from collections import Counter
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import ChangeAction, Role
from catalog.selectors import current_catalogue
from catalog.selectors.editions import edition_of, editions_newest_first
from catalog.workbook.history import between
from fitment.pages.catalogue.paging import paged
from fitment.pages.catalogue.row_lines import row_line
from fitment.pages.shared.addresses import address, edition_number
from fitment.pages.shared.page import page

ROWS_A_PAGE = 80


@page(role=Role.EDITOR)
def compare(request: HttpRequest) -> HttpResponse:
    now = current_catalogue().edition
    first, first_error = _number(request, "from", max(now - 1, 0))
    last, last_error = _number(request, "to", now)
    context: dict[str, Any] = {
        "fields": [
            {"name": "from", "label": "From edition", "value": request.GET.get("from", str(first)),
             "error": first_error, "described_by": "f-from-error" if first_error else ""},
            {"name": "to", "label": "To edition", "value": request.GET.get("to", str(last)),
             "error": last_error, "described_by": "f-to-error" if last_error else ""},
        ],
        "newest": editions_newest_first().values_list("number", flat=True)[:1],
        "title_rows": [{"label": "Difference", "value": f"Editions {first} and {last}"}],
    }  # fmt: skip
    if first_error or last_error:
        errors = [
            {"label": field["label"], "href": f"#f-{field['name']}", "message": field["error"]}
            for field in context["fields"]
            if field["error"]
        ]
        return render(request, "catalogue/compare.html", context | {"wrong": True, "errors": errors}, status=400)
    return render(request, "catalogue/compare.html", context | _difference(request, first, last))


def _difference(request: HttpRequest, first: int, last: int) -> dict[str, Any]:
    """From the one to the other: going back in time, added rows read as removed."""
    earlier, later = sorted((first, last))
    found = list(between(earlier, later))
    if first > last:
        found = [type(one)(one.sheet, one.key, one.after, one.before) for one in found]
    counts = Counter((one.sheet, one.action) for one in found)
    sheets = list(dict.fromkeys(one.sheet for one in found))
    chosen = request.GET.get("sheet", "")
    shown = [one for one in found if not chosen or one.sheet == chosen]
    page = paged(request, shown, ROWS_A_PAGE, at="rows")
    asked = {"from": [str(first)], "to": [str(last)]}
    return {
        "first": first,
        "last": last,
        "total": len(found),
        "counts": [(name, {action.value: counts[name, action] for action in ChangeAction}) for name in sheets],
        "sheets": [
            {"name": name, "href": address(request.path, asked | {"sheet": [name]}, at="rows"), "here": name == chosen}
            for name in sheets
        ],
        "every": address(request.path, asked, at="rows"),
        "chosen": chosen,
        "rows": {**page, "rows": [row_line(one.sheet, one.key, one.before, one.after) for one in page["rows"]]},
    }


def _number(request: HttpRequest, name: str, default: int) -> tuple[int, str]:
    """An edition of the query, or what is wrong with it. Edition 0 is the empty catalogue."""
    text = request.GET.get(name, "").strip()
    if not text:
        return default, ""
    number = edition_number(text)
    if number is None:
        return default, f"'{text[:20]}' is not the number of an edition. Write a whole number."
    if number and edition_of(number) is None:
        return default, f"There is no edition {number}. The newest is {current_catalogue().edition}."
    return number, ""
