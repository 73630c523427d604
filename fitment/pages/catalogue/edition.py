"""One edition: who, when, from what; the rows it changed, column by column; the answers and job minutes that changed
with them."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import Role
from catalog.models import Edition
from catalog.selectors import current_catalogue
from catalog.selectors.editions import answer_changes_of, changes_of, edition_of, minutes_changes_of, upload_that_made
from catalog.workbook.storage import row_counts
from fitment.pages.catalogue.changed import changed_at
from fitment.pages.catalogue.csv_files import changes_file
from fitment.pages.catalogue.paging import paged
from fitment.pages.catalogue.row_lines import row_line
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.services.catalogue.downloads import is_long
from fitment.sheets import SHEETS

ROWS_A_PAGE = 80
_ACTIONS = ("added", "changed", "removed")
_CHANGE = ("axle", "end", "location", "part", "before", "after", "variants", "in_operation")


@page(role=Role.EDITOR)
def edition(request: HttpRequest, number: int) -> HttpResponse:
    found = _found(number)
    chosen = request.GET.get("sheet", "")
    counts = [(name, of) for name, of in SHEETS.in_order(found.counts) if any(of.get(what) for what in _ACTIONS)]
    page = paged(request, changes_of(found, chosen), ROWS_A_PAGE, at="rows")
    context: dict[str, Any] = {
        "edition": found,
        "now": current_catalogue().edition,
        "counts": counts,
        "sheets": [
            {"name": name, "href": address(request.path, {"sheet": [name]}, at="rows"), "here": name == chosen}
            for name, _ in counts
        ],
        "chosen": chosen,
        "every": address(request.path, {}, at="rows"),
        "rows": {**page, "rows": [row_line(one.sheet, one.row_key, one.before, one.after) for one in page["rows"]]},
        "long": is_long(sum(row_counts(SHEETS).values())),
        "mended": request.GET.get("mended") == "yes",
        "upload": upload_that_made(found),
        **_neighbours(found),
        "changed": changed_at(request, *_changes(found), found.reach),
        "title_rows": [{"label": "What changed", "value": f"Edition {found.number}"}],
    }
    return render(request, "catalogue/edition.html", context)


def _neighbours(found: Edition) -> dict[str, str]:
    def to(number: int) -> str:
        exists = edition_of(number) is not None
        return reverse("catalogue-edition", args=[number]) if exists else ""

    return {"before": to(found.number - 1), "after": to(found.number + 1)}


@page(role=Role.EDITOR)
def edition_answers(request: HttpRequest, number: int) -> HttpResponse:
    """Every answer and every job's minutes that the edition changed, with all the variants."""
    answers, minutes = _changes(_found(number))
    return changes_file(f"answers-{number}", answers, minutes)


def _found(number: int) -> Edition:
    found = edition_of(number)
    if found is None:
        raise Http404
    return found


def _changes(found: Edition) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    return list(answer_changes_of(found).values(*_CHANGE)), list(minutes_changes_of(found).values(*_CHANGE))
