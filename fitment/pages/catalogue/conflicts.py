"""What contradicts itself in the catalogue, and what is missing; each line leads to where it is mended."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import NumberKind, Role
from fitment.domain.facts import FitDecision, Joint
from fitment.pages.catalogue.shared import new_address, paged
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.readers.coverage import AimlessNumber
from fitment.readers.vocabulary import names
from fitment.rules.gaps import DecisionGap, PlaceGap
from fitment.services.catalogue.conflicts import catalogue_conflicts
from fitment.text import catalogue as words

LINES_A_PAGE = 50
VARIANTS_NAMED = 60
ROWS_NAMED = 6


@dataclass(frozen=True, slots=True)
class GapLine:
    """One thing amiss: codes that name it, a sentence, the cars (`more` variants are not named), links that mend it."""

    codes: tuple[str, ...]
    text: str
    links: Sequence[tuple[str, str]]
    variants: tuple[str, ...] = ()
    more: int = 0
    cars: int | None = None


@dataclass(frozen=True, slots=True)
class GapKind:
    """A kind of things amiss: all that was found, and how one of it is said."""

    slug: str
    found: Sequence[Any]
    line: Callable[[Any], GapLine]
    page: dict[str, Any] = field(default_factory=dict)

    @property
    def title(self) -> str:
        return words.GAP_KINDS[self.slug][0]

    @property
    def why(self) -> str:
        return words.GAP_KINDS[self.slug][1]


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


def _kinds() -> list[GapKind]:
    found = catalogue_conflicts()
    gaps = found.gaps
    kinds = [
        GapKind("joints", gaps.joints, _joint),
        GapKind("decisions", gaps.contradictions, _contradiction),
        GapKind("unreached", gaps.unreached, _unreached),
        GapKind("components", gaps.empty, _empty),
        GapKind("measurements", gaps.unmeasured, _unmeasured),
        GapKind("numbers", found.aimless, _aimless),
        GapKind("ways", gaps.closed, partial(_closed, worked=found.worked)),
    ]
    return [*kinds, GapKind("unseen", gaps.too_many, _unseen)] if gaps.too_many else kinds


def _joint(gap: PlaceGap) -> GapLine:
    rows = sorted(
        gap.joints, key=lambda joint: (joint.component, joint.window.first or date.min, str(joint.conditions))
    )
    links = [(f"mend {words.joint_words(joint)}", _joint_row(gap, joint)) for joint in rows[:ROWS_NAMED]]
    if len(rows) > ROWS_NAMED:
        links.append((f"all {len(rows)} rows", _sheet("joints", gap.axle, gap.location)))
    return _place(gap, words.conflict_words(_title(gap), sorted(gap.components)), links)


def _joint_row(gap: PlaceGap, joint: Joint) -> str:
    first = words.first_day(joint.window.first)
    return _row("joints", gap.axle, gap.location, joint.component, first, str(joint.conditions))


def _empty(gap: PlaceGap) -> GapLine:
    links = [("add a joint", new_address("joints", {"axle": gap.axle, "location": gap.location}))]
    if not gap.every:
        links.append(("the joint rows", _sheet("joints", gap.axle, gap.location)))
    return _place(gap, words.no_component_words(_title(gap), every=gap.every), links)


def _closed(gap: PlaceGap, worked: Collection[str]) -> GapLine:
    """A way names operations; where the axle has none yet, both come together, by a workbook."""
    place, has_operations = {"axle": gap.axle, "location": gap.location}, gap.axle in worked
    link = ("add a way", new_address("ways", place))
    if not has_operations:
        blank = address(reverse("catalogue-first-way"), {name: [value] for name, value in place.items()})
        link = ("workbook to fill in", blank)
    text = words.no_way_words(_title(gap), sorted(gap.components), has_operations=has_operations)
    return _place(gap, text, [link])


def _place(gap: PlaceGap, text: str, links: Sequence[tuple[str, str]]) -> GapLine:
    return GapLine((gap.axle, gap.location), text, links, *_named(gap.variants), gap.in_operation)


def _named(variants: Iterable[str]) -> tuple[tuple[str, ...], int]:
    """The variants that are named at a line, and how many are not."""
    codes = sorted(variants)
    return tuple(codes[:VARIANTS_NAMED]), max(0, len(codes) - VARIANTS_NAMED)


def _title(gap: PlaceGap) -> str:
    return names().location(gap.end, gap.location)


def _contradiction(gap: DecisionGap) -> GapLine:
    other = gap.other or gap.decision
    links = [("the approval", _decision(gap, gap.decision)), ("the rejection", _decision(gap, other))]
    text = words.contradiction_words(gap.decision, other)
    return GapLine((gap.part, gap.revision, gap.component), text, links, *_named(gap.variants))


def _unreached(gap: DecisionGap) -> GapLine:
    links = [("the decision", _decision(gap, gap.decision)), ("where it sits", _sheet("joints", gap.component))]
    return GapLine((gap.part, gap.revision, gap.component), words.unreached_words(gap.decision), links)


def _unmeasured(found: tuple[str, list[str]]) -> GapLine:
    component, parts = found
    links = [("add a measurement", new_address("measurements", {"component": component}))]
    return GapLine((component,), words.unmeasured_words(parts), links)


def _aimless(number: AimlessNumber) -> GapLine:
    row = _row("numbers", number.issuer, number.number, "", "", "")
    links = [("give it a target", row)]
    if number.kind == NumberKind.FASTENER:
        links = [("add the fastener", new_address("fasteners", {"number": number.number})), ("mend the number", row)]
    return GapLine((number.number,), words.number_words(number.issuer, number.kind), links)


def _unseen(codes: tuple[str, str]) -> GapLine:
    return GapLine(codes, words.UNSEEN, [("the variant", _sheet("variants", codes[0]))])


def _decision(gap: DecisionGap, decision: FitDecision) -> str:
    key = (gap.part, gap.revision, gap.component, str(decision.conditions), decision.decision)
    return _row("fit_decisions", *key)


def _row(sheet: str, *key: str) -> str:
    return address(reverse("catalogue-mend", args=[sheet]), {"key": list(key)})


def _sheet(name: str, *texts: str) -> str:
    return address(reverse("catalogue-sheet", args=[name]), {"q": [" ".join(texts)]})
