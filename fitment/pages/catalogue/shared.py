"""What the editor's pages share: addresses, a long table a page at a time, how far long work has come."""

from collections.abc import Mapping
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from catalog.models import Download, Upload
from catalog.sheets.sheet import Row, Sheet
from fitment.pages.shared.addresses import address
from fitment.sheets import SHEETS
from fitment.text.catalogue import STATES, counted, stage_words

Page = Mapping[str, Any]


def page_of(rows: Any, size: int, number: str | None) -> Page:
    """The rows of a page (`rows`), where it stands (`shown`), `previous` and `next` by number, or None."""
    page = Paginator(rows, size).get_page(number)
    return {
        "rows": page.object_list,
        "total": page.paginator.count,
        "shown": f"{page.start_index()} to {page.end_index()} of {page.paginator.count}",
        "previous": page.previous_page_number() if page.has_previous() else None,
        "next": page.next_page_number() if page.has_next() else None,
    }


def paged(request: HttpRequest, rows: Any, size: int, *, name: str = "page", at: str = "") -> Page:
    """As `page_of`, with `previous` and `next` as addresses.

    `name` is the parameter that holds the number, `at` the part of the page where the table stands.
    """
    page = page_of(rows, size, request.GET.get(name))
    query = {key: request.GET.getlist(key) for key in request.GET}

    def to(number: int | None) -> str:
        return "" if number is None else address(request.path, query, adding={name: str(number)}, at=at)

    return {**page, "previous": to(page["previous"]), "next": to(page["next"])}


def progress_page(
    request: HttpRequest, work: Upload | Download, template: str, context: dict[str, Any], *, href: str
) -> HttpResponse:
    """The page of long work: with a bar while it is at work, and for a script the bar alone."""
    by_htmx = getattr(request, "htmx", False)
    if not work.is_at_work:
        # The bar is full: the whole page comes anew.
        return HttpResponse(headers={"HX-Refresh": "true"}) if by_htmx else render(request, template, context)
    progress = {
        "words": STATES[work.state],
        "stage": stage_words(work.stage, work.state),
        "done": work.done,
        "total": work.total,
        "counted": counted(work.done, work.total),
    }
    context |= {"progress": progress, "work": work, "href": href}
    return render(request, "catalogue/progress.html" if by_htmx else template, context)


# The catalogue's own row is the loads', recorded times make no edition, enquiries are gathered by the service.
EDITABLE = frozenset(SHEETS.names()) - {"catalogue", "job_times", "enquiries"}


def compare_address(first: int, last: int) -> str:
    """What lies between two editions."""
    return address(reverse("catalogue-compare"), {"from": [str(first)], "to": [str(last)]})


def edit_address(sheet: Sheet, row: Row) -> str:
    """The page that edits a row; its key stands in the address, a value a parameter."""
    return address(reverse("catalogue-mend", args=[sheet.name]), {"key": [row[at] for at in sheet.key_at]})


def new_address(sheet: str, values: Mapping[str, str]) -> str:
    """The page that adds a row, some columns filled."""
    query = {"new": ["yes"]} | {name: [value] for name, value in values.items()}
    return address(reverse("catalogue-mend", args=[sheet]), query)


def history_address(sheet: str, key: str) -> str:
    """What became of a row; its key as history writes it."""
    return address(reverse("catalogue-row", args=[sheet]), {"key": [key]})
