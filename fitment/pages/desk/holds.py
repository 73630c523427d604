"""Batches on hold: which are, and for each the printed list of cars to call and what to look for."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Role, Status
from catalog.selectors.cars import in_operation
from catalog.selectors.parts import open_holds, revision_of
from fitment.pages.car.answers import HoldView
from fitment.pages.shared.car_rows import rows_of_part
from fitment.pages.shared.page import page
from fitment.services.fit.part_cars import revision_cars
from fitment.text.cautions import USUAL_CAUTIONS


def holds_listed() -> list[HoldView]:
    """All open holds, the latest first (one query)."""
    return [HoldView.of(row, row.revision.part.code, row.revision.letter) for row in open_holds()]


@page(role=Role.SALES)
def hold(request: HttpRequest, part: str, revision: str) -> HttpResponse:
    """The cars that may carry a held revision, by platform, with what to look for."""
    found = revision_of(part=part, letter=revision)
    if found is None:
        raise Http404
    rows = revision_cars(part=part, revision=revision)
    codes = {row.variant for row in rows}
    context: dict[str, Any] = {
        "part": found.part,
        "revision": found.letter,
        "status": Status.word_of(found.status),
        "holds": [HoldView.of(row) for row in found.holds.filter(closed_on=None).order_by("opened_on", "batch_from")],
        "rows": rows_of_part(rows),
        "car_count": len(codes),
        "in_operation": in_operation(codes=codes),
        "title_rows": [{"label": "On hold", "value": f"{part} {revision}", "wide": True}],
        "cautions": USUAL_CAUTIONS,
    }
    return render(request, "desk/hold.html", context)
