"""A long table a page at a time."""

from collections.abc import Mapping
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest

from fitment.pages.addresses import address


def paged(request: HttpRequest, rows: Any, size: int, *, name: str = "page", at: str = "") -> Mapping[str, Any]:
    """The rows of the page asked for (`rows`), where it stands (`shown`), `previous` and `next` as addresses.

    `name` is the parameter that holds the number, `at` the part of the page where the table stands.
    """
    page = Paginator(rows, size).get_page(request.GET.get(name))
    query = {key: request.GET.getlist(key) for key in request.GET}

    def to(number: int) -> str:
        return address(request.path, query, adding={name: str(number)}, at=at)

    return {
        "rows": page.object_list,
        "total": page.paginator.count,
        "shown": f"{page.start_index()} to {page.end_index()} of {page.paginator.count}",
        "previous": to(page.previous_page_number()) if page.has_previous() else "",
        "next": to(page.next_page_number()) if page.has_next() else "",
    }
