"""`/coverage/sizes/`: the smallest set of new sizes, and what each would cover."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Role
from fitment.engineering.families import Family, SizeSet
from fitment.pages.coverage.lists import cell_address
from fitment.pages.shared.forms import PageForm
from fitment.pages.shared.page import page
from fitment.services.coverage.cells import coverage, size_families
from fitment.templatetags.figures import thousands
from fitment.text.coverage import WHOLE_NUMBER
from fitment.text.engineering import left_out_reason

Links = Mapping[str, str]
"""By component the address of a cell of it that waits."""


@page(role=Role.DEVELOPMENT)
def sizes(request: HttpRequest) -> HttpResponse:
    text = request.GET.get("bodies_at_most", "").strip()
    at_most = int(text) if text.isascii() and text.isdecimal() and 0 < len(text) < 5 and int(text) else None
    form = PageForm(initial={"bodies_at_most": text})
    form.add("bodies_at_most", "At most so many bodies a blank", help_text="Empty: as many as it takes.")
    if text and at_most is None:
        form.refuse([("bodies_at_most", WHOLE_NUMBER)])
    families = size_families(bodies_at_most=at_most)
    waiting = (cell.key for cell in reversed(coverage().cells) if cell.waits)
    links = {key.component: cell_address(key) for key in waiting}
    served = [family for family in families if family.every.bodies]
    context: dict[str, Any] = {
        "form": form,
        "at_most": at_most,
        "families": [_family(one, links) for one in sorted(served, key=lambda one: -one.every.cars)],
        "without": [(one.part, one.letter, _left_out(one, links)) for one in families if not one.every.bodies],
        "title_rows": [{"label": "Sheet", "value": "Smallest set of new sizes"}],
    }
    return render(request, "coverage/sizes.html", context, status=400 if form.refusals else 200)


def _family(family: Family, links: Links) -> dict[str, Any]:
    return {
        "part": family.part,
        "letter": family.letter,
        "every": _set(family.every, links),
        "at_most": None if family.at_most is None else _set(family.at_most, links),
        "left_out": _left_out(family, links),
    }


def _set(found: SizeSet, links: Links) -> dict[str, Any]:
    def linked(components: Sequence[str]) -> list[tuple[str, str]]:
        return [(code, links.get(code, "")) for code in components]

    return {
        "cars": thousands(found.cars),
        "bodies": [(f"{one.outside_mm:.3f}", thousands(one.cars), linked(one.components)) for one in found.bodies],
        "spacers": [
            (f"{one.sleeve_mm:.2f}", "" if one.hole_mm is None else f"{one.hole_mm:.2f}", linked(one.components))
            for one in found.spacers
        ],
    }


def _left_out(family: Family, links: Links) -> list[tuple[str, list[tuple[str, str]]]]:
    """Why, and the components it keeps out."""
    by_why: dict[str, list[tuple[str, str]]] = {}
    for one in family.left_out:
        by_why.setdefault(left_out_reason(one.why), []).append((one.component, links.get(one.component, "")))
    return sorted(by_why.items(), key=lambda item: -len(item[1]))
