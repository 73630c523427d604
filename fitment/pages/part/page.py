"""A part's page: its revisions in time, what changed, the cars it fits, what goes with it."""

from dataclasses import dataclass, replace
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import SOME_FIT, Duty, Role, Status, Verdict
from catalog.models import Revision
from catalog.roles import role_of
from catalog.selectors.parts import PartSheet, part_sheet
from fitment.answers.fit import RuleNote as RuleOfPart
from fitment.drawing.time_line import DrawnRevision, time_line
from fitment.pages.car.answers import HoldView
from fitment.pages.shared.addresses import Query, address
from fitment.pages.shared.car_rows import rows_of_part
from fitment.pages.shared.page import page
from fitment.services.fit.part_cars import part_cars
from fitment.text.cautions import USUAL_CAUTIONS
from fitment.text.dates import day_words
from fitment.text.fit import rule_words

ROWS_A_PAGE = 60


@dataclass(frozen=True, slots=True)
class RevisionView:
    letter: str
    status: str
    released: str
    change: str
    reason: str
    held: str


@page()
def part(request: HttpRequest, code: str) -> HttpResponse:
    viewer = role_of(request.user)
    sheet = part_sheet(code=code, viewer=viewer)
    if sheet is None:
        raise Http404
    return render(request, "part/page.html", _context(request, sheet, viewer))


def _context(request: HttpRequest, sheet: PartSheet, viewer: Role) -> dict[str, Any]:
    held = {hold.revision_id for hold in sheet.holds}
    every = request.GET.get("all") == "yes"
    told = part_cars(part=sheet.part.code)
    rows = rows_of_part(row for row in told if every or row.verdict in SOME_FIT)
    page = Paginator(rows, ROWS_A_PAGE).get_page(request.GET.get("page"))
    path = f"/part/{sheet.part.code}/"
    kept = {"all": ["yes"]} if every else {}
    return {
        "part": sheet.part,
        "duty": Duty.word_of(sheet.part.duty),
        "upkeep": _upkeep(sheet),
        "line": time_line([_edition(row, sheet, held) for row in sheet.revisions]),
        "revisions": [_revision(row, held, viewer) for row in reversed(sheet.revisions)],
        "holds": [
            replace(held_view, cause=held_view.cause if viewer.is_staff else None)
            for held_view in (HoldView.of(hold, sheet.part.code, hold.revision.letter) for hold in sheet.holds)
        ],
        "kit": sheet.kit,
        "papers": sheet.papers,
        "rules": [rule_words(_rule(row)) for row in sheet.rules],
        "numbers": sheet.numbers,
        "cars": page.object_list,
        "car_count": len({row.variant for row in told if row.verdict is Verdict.FITS}),
        "every": every,
        "switch": address(path, {} if every else {"all": ["yes"]}, at="cars"),
        "shown": f"{page.start_index()} to {page.end_index()} of {page.paginator.count}",
        "previous": _page_address(path, kept, page.previous_page_number()) if page.has_previous() else "",
        "next": _page_address(path, kept, page.next_page_number()) if page.has_next() else "",
        "cautions": USUAL_CAUTIONS,
    }


def _page_address(path: str, kept: Query, number: int) -> str:
    return address(path, kept, adding={"page": str(number)}, at="cars")


def _edition(row: Revision, sheet: PartSheet, held: set[int]) -> DrawnRevision:
    exchange = "" if row.letter in sheet.hidden_before else row.exchange
    return DrawnRevision(row.letter, row.status, exchange, row.pk in held)


def _revision(row: Revision, held: set[int], viewer: Role) -> RevisionView:
    released = day_words(row.released_on) if row.released_on else ""
    return RevisionView(
        letter=row.letter,
        status=Status.word_of(row.status),
        released=released,
        change=row.change,
        reason=row.reason if viewer.at_least(Role.DEVELOPMENT) else "",
        held="on hold" if row.pk in held else "",
    )


def _rule(row: Any) -> RuleOfPart:
    return RuleOfPart(row.rule, row.other.code if row.other else None, row.note)


def _upkeep(sheet: PartSheet) -> list[tuple[str, str, str]]:
    """First inspection, interval and play limit: label, figure, unit."""
    part = sheet.part
    figures = [
        ("First inspection at", part.first_inspection_km, "km"),
        ("Then every", part.interval_km, "km"),
        ("Play limit", part.play_limit_mm, "mm"),
    ]
    return [(label, _figure(value), unit) for label, value, unit in figures if value is not None]


def _figure(value: Any) -> str:
    """A figure with a thin space between thousands and no idle noughts."""
    text = f"{value:,}".replace(",", "\u2009")
    return text.rstrip("0").rstrip(".") if "." in text else text
