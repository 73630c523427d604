"""Batches on hold: which are, and for each the printed list of cars to call and what to look for."""

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Role, Status
from catalog.models import Hold, Revision
from catalog.selectors.cars import in_operation
from fitment.pages.car.answers import HoldView
from fitment.pages.part.car_rows import rows_of
from fitment.pages.shared.page import page
from fitment.services.fit.part_cars import revision_cars
from fitment.text.cautions import USUAL_CAUTIONS
from fitment.text.dates import day_words
from fitment.text.fit import batch_words


@dataclass(frozen=True, slots=True)
class HeldLine:
    """A revision with open holds, for a list."""

    part: str
    revision: str
    batches: str
    look_for: str
    opened: str

    @property
    def href(self) -> str:
        return f"/desk/hold/{self.part}/{self.revision}/"


def open_holds() -> list[HeldLine]:
    """All open holds, the latest first (one query)."""
    rows = Hold.objects.filter(closed_on=None).select_related("revision__part").order_by("-opened_on", "pk")
    return [
        HeldLine(
            row.revision.part.code,
            row.revision.letter,
            batch_words(row.batch_from, row.batch_to),
            row.look_for,
            day_words(row.opened_on),
        )
        for row in rows
    ]


@page(role=Role.SALES)
def hold(request: HttpRequest, part: str, revision: str) -> HttpResponse:
    """The cars that may carry a held revision, by platform, with what to look for."""
    found = Revision.objects.select_related("part").filter(part__code=part, letter=revision).first()
    if found is None:
        raise Http404
    rows = revision_cars(part=part, revision=revision)
    codes = {row.variant for row in rows}
    context: dict[str, Any] = {
        "part": found.part,
        "revision": found.letter,
        "status": Status.word_of(found.status),
        "holds": [
            HoldView(batch_words(row.batch_from, row.batch_to), row.look_for, day_words(row.opened_on), row.cause)
            for row in found.holds.filter(closed_on=None).order_by("opened_on", "batch_from")
        ],
        "rows": rows_of(rows),
        "car_count": len(codes),
        "in_operation": in_operation(codes=codes),
        "title_rows": [{"label": "On hold", "value": f"{part} {revision}", "wide": True}],
        "cautions": USUAL_CAUTIONS,
    }
    return render(request, "desk/hold.html", context)
