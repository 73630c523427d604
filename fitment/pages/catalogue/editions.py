"""One edition: who, when, from what; the rows it changed, column by column; the answers and job minutes that changed
with them. And what lies between two editions."""

from collections import Counter
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import ChangeAction, Role
from catalog.models import Edition
from catalog.selectors import current_catalogue
from catalog.selectors.editions import (
    answer_changes_of,
    changes_of,
    edition_of,
    editions_newest_first,
    minutes_changes_of,
    upload_that_made,
)
from catalog.workbook.history import RowDifference, between
from catalog.workbook.report import CHANGE_HEADS
from catalog.workbook.storage import row_counts
from fitment.pages.catalogue.changes import changed, changes_file
from fitment.pages.catalogue.shared import paged
from fitment.pages.shared.addresses import address, edition_number
from fitment.pages.shared.forms import PageForm
from fitment.pages.shared.page import page
from fitment.services.catalogue.downloads import is_long
from fitment.sheets import SHEETS
from fitment.text.catalogue import no_edition_words, no_number_words

ROWS_A_PAGE = 80
_CHANGE_FIELDS = CHANGE_HEADS[1:]


@page(role=Role.EDITOR)
def edition(request: HttpRequest, number: int) -> HttpResponse:
    found = _found(number)
    chosen = request.GET.get("sheet", "")
    counts = [(name, of) for name, of in SHEETS.in_order(found.counts) if any(of.get(one) for one in ChangeAction)]
    rows = paged(request, changes_of(found, chosen), ROWS_A_PAGE, at="rows")
    context: dict[str, Any] = {
        "edition": found,
        "now": current_catalogue().edition,
        "counts": counts,
        "sheets": _sheets(request, [name for name, _ in counts], {}, chosen),
        "chosen": chosen,
        "every": address(request.path, {}, at="rows"),
        "rows": {
            **rows,
            "rows": [RowDifference(one.sheet, one.row_key, one.before, one.after) for one in rows["rows"]],
        },
        "long": is_long(sum(row_counts(SHEETS).values())),
        "mended": request.GET.get("mended") == "yes",
        "upload": upload_that_made(found),
        "before": _neighbour(found.number - 1),
        "after": _neighbour(found.number + 1),
        "changed": changed(request, *_changes(found), found.reach),
        "title_rows": [{"label": "What changed", "value": f"Edition {found.number}"}],
    }
    return render(request, "catalogue/edition.html", context)


@page(role=Role.EDITOR)
def edition_answers(request: HttpRequest, number: int) -> HttpResponse:
    """Every answer and every job's minutes that the edition changed, with all the variants."""
    return changes_file(f"answers-{number}", *_changes(_found(number)))


def _found(number: int) -> Edition:
    found = edition_of(number)
    if found is None:
        raise Http404
    return found


def _neighbour(number: int) -> str:
    return reverse("catalogue-edition", args=[number]) if edition_of(number) is not None else ""


def _changes(found: Edition) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    answers, minutes = answer_changes_of(found), minutes_changes_of(found)
    return list(answers.values(*_CHANGE_FIELDS)), list(minutes.values(*_CHANGE_FIELDS))


def _sheets(request: HttpRequest, names: list[str], query: dict[str, list[str]], chosen: str) -> list[dict[str, Any]]:
    """The sheets whose rows changed, and the way to each alone."""
    return [
        {"name": name, "href": address(request.path, query | {"sheet": [name]}, at="rows"), "here": name == chosen}
        for name in names
    ]


@page(role=Role.EDITOR)
def compare(request: HttpRequest) -> HttpResponse:
    """The rows that differ between two editions, column by column."""
    now = current_catalogue().edition
    chosen = {"from": max(now - 1, 0), "to": now}
    form = PageForm(initial={name: request.GET.get(name, str(number)) for name, number in chosen.items()})
    for name in chosen:
        form.add(name, f"{name.capitalize()} edition")
        number, wrong = _number(request.GET.get(name, "").strip(), chosen[name], now)
        chosen[name] = number
        form.refuse([(name, wrong)] if wrong else [])
    first, last = chosen["from"], chosen["to"]
    context: dict[str, Any] = {
        "form": form,
        "newest": editions_newest_first().values_list("number", flat=True)[:1],
        "title_rows": [{"label": "Difference", "value": f"Editions {first} and {last}"}],
    }
    if form.refusals:
        context |= {"wrong": True, "errors": form.summary}
        return render(request, "catalogue/compare.html", context, status=400)
    return render(request, "catalogue/compare.html", context | _difference(request, first, last))


def _difference(request: HttpRequest, first: int, last: int) -> dict[str, Any]:
    """From the one to the other: going back in time, added rows read as removed."""
    found = list(between(*sorted((first, last))))
    if first > last:
        found = [RowDifference(one.sheet, one.key, one.after, one.before) for one in found]
    counts = Counter((one.sheet, one.action) for one in found)
    sheets = list(dict.fromkeys(one.sheet for one in found))
    chosen = request.GET.get("sheet", "")
    query = {"from": [str(first)], "to": [str(last)]}
    return {
        "first": first,
        "last": last,
        "total": len(found),
        "counts": [(name, {action.value: counts[name, action] for action in ChangeAction}) for name in sheets],
        "sheets": _sheets(request, sheets, query, chosen),
        "every": address(request.path, query, at="rows"),
        "chosen": chosen,
        "rows": paged(request, [one for one in found if chosen in ("", one.sheet)], ROWS_A_PAGE, at="rows"),
    }


def _number(text: str, default: int, now: int) -> tuple[int, str]:
    """An edition of the query, or what is wrong with it. Edition 0 is the empty catalogue."""
    number = edition_number(text)
    if number is None:
        return default, no_number_words(text) if text else ""
    if number and edition_of(number) is None:
        return default, no_edition_words(number, now)
    return number, ""
