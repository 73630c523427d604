"""One edition: who, when, from what; the rows it changed, column by column; the answers that changed with them."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from catalog.models import Edition
from catalog.roles import Role
from catalog.selectors import current_catalogue
from catalog.selectors.history import answer_changes_of, changes_of, edition_of, upload_that_made
from fitment.pages.access import needs
from fitment.pages.addresses import address
from fitment.pages.naming import names

from .answer_lines import by_place, matching, touched
from .paging import paged
from .row_lines import row_line

ROWS_A_PAGE = 80
ANSWERS_A_PAGE = 60
_ANSWER = ("axle", "end", "location", "part", "before", "after", "variants", "in_operation")


@require_safe
@needs(Role.EDITOR)
def edition(request: HttpRequest, number: int) -> HttpResponse:
    found = edition_of(number)
    if found is None:
        raise Http404
    chosen = request.GET.get("sheet", "")
    counts = [(name, of) for name, of in found.counts.items() if any(of[what] for what in _CHANGES if what in of)]
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
        "mended": request.GET.get("mended") == "yes",
        "upload": upload_that_made(found),
        **_neighbours(found),
        **_answers(request, found),
        "title_rows": [{"label": "What changed", "value": f"Edition {found.number}"}],
    }
    return render(request, "catalogue/edition.html", context)


_CHANGES = ("added", "changed", "removed")


def _neighbours(found: Edition) -> dict[str, str]:
    def to(number: int) -> str:
        exists = edition_of(number) is not None
        return reverse("catalogue-edition", args=[number]) if exists else ""

    return {"before": to(found.number - 1), "after": to(found.number + 1)}


def _answers(request: HttpRequest, found: Edition) -> dict[str, Any]:
    words = request.GET.get("q", "")
    changed = list(answer_changes_of(found).values(*_ANSWER))
    page = paged(request, matching(changed, words), ANSWERS_A_PAGE, name="answers", at="answers")
    return {
        "touched": touched(changed),
        "answers": {**page, "groups": by_place(page["rows"], names().locations)},
        "search": [{"name": "q", "label": "Find", "value": words, "kind": "search",
                    "hint": "An axle, a location, a part or a variant."}],
        "searched": bool(words),
    }  # fmt: skip
