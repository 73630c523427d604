"""A long table a page at a time."""

from collections.abc import Mapping
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest

from fitment.pages.shared.addresses import address

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
