"""What contradicts itself in the catalogue, and what is missing; each line leads to where it is mended."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Role
from catalog.windows import write_from
from fitment.domain.facts import Decision, Joint
from fitment.pages.catalogue.mending import new_address
from fitment.pages.catalogue.paging import paged
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.readers.gaps import AimlessNumber
from fitment.readers.names import names
from fitment.rules.gaps import DecisionGap, PlaceGap
from fitment.services.catalogue.conflicts import catalogue_conflicts

LINES_A_PAGE = 50
VARIANTS_NAMED = 60
ROWS_NAMED = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One thing amiss: codes that name it, a sentence, the cars, and links that mend it."""

    codes: tuple[str, ...]
    text: str
    variants: tuple[str, ...] = ()
    more: int = 0
    cars: int | None = None
    links: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of things amiss: its heading, why it matters, all that was found, and how one of it is said."""

    slug: str
    title: str
    why: str
    found: Sequence[Any]
    line: Callable[[Any], Line]
    page: dict[str, Any] = field(default_factory=dict)


@page(role=Role.EDITOR)
def conflicts(request: HttpRequest) -> HttpResponse:
    kinds = _kinds()
    for kind in kinds:
        page = paged(request, kind.found, LINES_A_PAGE, name=kind.slug, at=kind.slug)
        # Only what is shown is put into words: a great catalogue has thousands of lines.
        kind.page.update(page, rows=[kind.line(one) for one in page["rows"]])
    context = {
        "kinds": kinds,
        "total": sum(len(kind.found) for kind in kinds),
        "title_rows": [{"label": "Sheet", "value": "Conflicts and gaps"}],
    }
    return render(request, "catalogue/conflicts.html", context)


def _kinds() -> list[Kind]:
    found = catalogue_conflicts()
    gaps = found.gaps
    kinds = [
        Kind("joints", "Original joints that contradict each other",
             "Several joint rows hold for one car and are not all marked as alternatives; it is answered 'not known'.",
             gaps.joints, _joint),
        Kind("decisions", "Decisions that contradict each other",
             "One revision is approved and rejected for one component on the same car; the rejection wins.",
             gaps.contradictions, _contradiction),
        Kind("unreached", "Decisions that no car reaches",
             "No possible car has the component under these conditions, so the decision is never heard.",
             gaps.unreached, _unreached),
        Kind("components", "Locations in our range without a component",
             "Cars with this axle are answered 'not known' here, whatever we sell.",
             gaps.empty, _empty),
        Kind("measurements", "Components without a measurement that an approval rests on",
             "The approval stands on drawings or on trust alone.",
             gaps.unmeasured, _unmeasured),
        Kind("numbers", "Numbers that stand for nothing",
             "Whoever asks by this number gets no joint and no upgrade.",
             found.aimless, _aimless),
        Kind("ways", "Joints we sell for without a way in",
             "The part fits, but no job can be planned.",
             gaps.closed, partial(_closed, worked=found.worked)),
    ]  # fmt: skip
    if gaps.too_many:
        why = "These cars may have conflicts that are not listed."
        kinds.append(Kind("unseen", "Not looked through", why, gaps.too_many, _unseen))
    return kinds


def _joint(gap: PlaceGap) -> Line:
    rows = sorted(
        gap.joints, key=lambda joint: (joint.component, joint.window.first or date.min, str(joint.conditions))
    )
    links = [(f"mend {_row_words(joint)}", _joint_row(gap, joint)) for joint in rows[:ROWS_NAMED]]
    if len(rows) > ROWS_NAMED:
        links.append((f"all {len(rows)} rows", _sheet("joints", gap.axle, gap.location)))
    text = f"{_title(gap)}: {_listed(sorted(gap.components))} at once. Narrow one, or mark all as alternatives."
    return _place(gap, text, tuple(links))


def _row_words(joint: Joint) -> str:
    """A joint row in few words: its component, and what tells it from other rows of that component."""
    first = f" from {_first(joint)}" if joint.window.first else ""
    return f"{joint.component}{first}" + (f" where {joint.conditions}" if joint.conditions else "")


def _joint_row(gap: PlaceGap, joint: Joint) -> str:
    key = [gap.axle, gap.location, joint.component, _first(joint), str(joint.conditions)]
    return address("/catalogue/mend/joints/", {"key": key})


def _first(joint: Joint) -> str:
    """The first day of a joint row, as the workbook writes it."""
    return write_from(joint.window.first) if joint.window.first else ""


def _empty(gap: PlaceGap) -> Line:
    which = "no car has a component recorded" if gap.every else "some cars have no component recorded"
    links = [("add a joint", new_address("joints", {"axle": gap.axle, "location": gap.location}))]
    if not gap.every:
        links.append(("the joint rows", _sheet("joints", gap.axle, gap.location)))
    return _place(gap, f"{_title(gap)}: {which}.", tuple(links))


def _closed(gap: PlaceGap, worked: Collection[str]) -> Line:
    """A way names operations; where the axle has none yet, both come together, by a workbook."""
    text = f"{_title(gap)}: {_listed(sorted(gap.components))} can be replaced, no way leads there."
    place = {"axle": gap.axle, "location": gap.location}
    if gap.axle in worked:
        return _place(gap, text, (("add a way", new_address("ways", place)),))
    blank = address("/catalogue/first-way.xlsx", {name: [value] for name, value in place.items()})
    return _place(gap, f"{text} No operation of the axle is recorded.", (("workbook to fill in", blank),))


def _place(gap: PlaceGap, text: str, links: tuple[tuple[str, str], ...]) -> Line:
    variants = sorted(gap.variants)
    return Line(
        (gap.axle, gap.location), text, tuple(variants[:VARIANTS_NAMED]), max(0, len(variants) - VARIANTS_NAMED),
        gap.in_operation, links,
    )  # fmt: skip


def _title(gap: PlaceGap) -> str:
    title = names().location(gap.end, gap.location)
    return title[:1].upper() + title[1:]


def _contradiction(gap: DecisionGap) -> Line:
    other = gap.other or gap.decision
    variants = sorted(gap.variants)
    return Line(
        (gap.part, gap.revision, gap.component),
        f"Approved {_said(gap.decision)}, rejected {_said(other)}.",
        tuple(variants[:VARIANTS_NAMED]), max(0, len(variants) - VARIANTS_NAMED), None,
        (("the approval", _decision(gap, gap.decision)), ("the rejection", _decision(gap, other))),
    )  # fmt: skip


def _unreached(gap: DecisionGap) -> Line:
    return Line(
        (gap.part, gap.revision, gap.component),
        f"{gap.decision.decision.capitalize()} {_said(gap.decision)}.",
        links=(("the decision", _decision(gap, gap.decision)), ("where it sits", _sheet("joints", gap.component))),
    )


def _said(decision: Decision) -> str:
    conditions = str(decision.conditions)
    return f"on {decision.decided_on.isoformat()}, " + (f"where {conditions}" if conditions else "without conditions")


def _unmeasured(found: tuple[str, list[str]]) -> Line:
    component, parts = found
    links = (("add a measurement", new_address("measurements", {"component": component})),)
    return Line((component,), f"{_listed(parts)} approved for it.", links=links)


def _aimless(number: AimlessNumber) -> Line:
    row = address("/catalogue/mend/numbers/", {"key": [number.issuer, number.number, "", "", ""]})
    links: tuple[tuple[str, str], ...] = (("give it a target", row),)
    if number.kind == "fastener":
        links = (("add the fastener", new_address("fasteners", {"number": number.number})), ("mend the number", row))
    return Line((number.number,), f"Issued by {number.issuer}; kind {number.kind}.", links=links)


def _unseen(codes: tuple[str, str]) -> Line:
    text = "Too many possibilities to look through; fewer free options would help."
    return Line(codes, text, links=(("the variant", _sheet("variants", codes[0])),))


def _decision(gap: DecisionGap, decision: Decision) -> str:
    key = [gap.part, gap.revision, gap.component, str(decision.conditions), decision.decision]
    return address("/catalogue/mend/fit_decisions/", {"key": key})


def _sheet(name: str, *words: str) -> str:
    return address(f"/catalogue/sheet/{name}/", {"q": [" ".join(words)]})


def _listed(codes: list[str]) -> str:
    return codes[0] if len(codes) == 1 else ", ".join(codes[:-1]) + " and " + codes[-1]
