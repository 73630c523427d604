"""`coverage/` and what stands below it as JSON; cars to one decimal."""

from collections.abc import Iterable, Mapping
from typing import Any

from api.shapes import CATALOGUE, NUMBER, TEXT, TRUTH, WHOLE, Schema, by_name, listed, maybe, one_of, page, shape
from catalog.codes import Basis, CoverageState
from fitment.coverage.cells import CoverageCell
from fitment.coverage.component_verdicts import RevisionKey
from fitment.coverage.counting import tenths
from fitment.coverage.summaries import PlatformCoverage, WorkRow
from fitment.coverage.uncovered_groups import UncoveredGroup
from fitment.engineering.constants import CARS_PER_ENQUIRY, EFFORT_DAYS
from fitment.engineering.families import Body, Family, SizeSet, Spacer
from fitment.services.coverage.loads import JointLoad

END = one_of("front", "rear")
CELL_STATES = one_of(*(state for state in CoverageState if state is not CoverageState.UNKNOWN))
CELL = {"axle": TEXT, "end": END, "location": TEXT, "component": TEXT}
REVISIONS = listed(shape(part=TEXT, revision=TEXT))
CELL_ROW = {
    **CELL, "cars": NUMBER, "covered": NUMBER, "uncovered": NUMBER, "state": CELL_STATES,
    "basis": maybe(one_of(*Basis)), "by": REVISIONS, "conflict": TRUTH,
}  # fmt: skip
CELLS: Schema = page(shape(**CELL_ROW))
WAITING: Schema = shape(
    conditions=TEXT, cars=NUMBER, variants=listed(TEXT), rejected=REVISIONS, failed=REVISIONS, proposed=REVISIONS,
    tried=REVISIONS,
)  # fmt: skip
CELL_DETAIL: Schema = shape(catalogue=CATALOGUE, **CELL_ROW, waiting=listed(WAITING))
PLATFORMS: Schema = page(
    shape(
        maker=TEXT, chassis=TEXT, end=END, location=TEXT, cars=NUMBER, uncovered=NUMBER, state=one_of(*CoverageState),
        states=by_name(NUMBER), cells=listed(shape(axle=TEXT, component=TEXT)),
    )
)  # fmt: skip
WORK: Schema = page(
    shape(
        **CELL, state=one_of(*EFFORT_DAYS), uncovered=NUMBER, enquiries=WHOLE, effort_days=WHOLE, score=NUMBER,
        load=maybe(shape(braking_n=NUMBER, share=NUMBER)),
    ),
    effort_days=by_name(WHOLE),
    per_enquiry=WHOLE,
)  # fmt: skip
_CODES = listed(TEXT)
_BODIES = listed(shape(outside_mm=NUMBER, components=_CODES, cars=NUMBER))
_SPACERS = listed(shape(hole_mm=maybe(NUMBER), sleeve_mm=NUMBER, components=_CODES))
SIZES: Schema = shape(
    catalogue=CATALOGUE,
    bodies_at_most=maybe(WHOLE),
    families=listed(
        shape(
            part=TEXT,
            revision=TEXT,
            cars=NUMBER,
            bodies=_BODIES,
            spacers=_SPACERS,
            left_out=listed(shape(component=TEXT, why=TEXT)),
            at_most=maybe(shape(bodies_at_most=WHOLE, cars=NUMBER, bodies=_BODIES, spacers=_SPACERS)),
        )
    ),
)


def cell_row(cell: CoverageCell) -> dict[str, Any]:
    """One cell of the matrix."""
    return {
        **_key(cell),
        "cars": tenths(cell.cars),
        "covered": tenths(cell.covered),
        "uncovered": tenths(cell.uncovered),
        "state": cell.state,
        "basis": cell.basis,
        "by": _revisions(cell.by),
        "conflict": cell.conflict,
    }


def waiting_row(group: UncoveredGroup) -> dict[str, Any]:
    """Uncovered cars of a cell that nothing said of it tells apart."""
    standing = group.verdicts
    return {
        "conditions": str(group.conditions),
        "cars": tenths(group.cars),
        "variants": list(group.variants),
        "rejected": _revisions(standing.rejected),
        "failed": _revisions(standing.failed),
        "proposed": _revisions(standing.proposed),
        "tried": _revisions(standing.tried),
    }


def platform_row(row: PlatformCoverage) -> dict[str, Any]:
    """One location of a platform."""
    return {
        "maker": row.maker,
        "chassis": row.chassis,
        "end": row.end,
        "location": row.location,
        "cars": tenths(row.cars),
        "uncovered": tenths(row.uncovered),
        "state": row.state,
        "states": {state: tenths(cars) for state, cars in row.states.items()},
        "cells": [{"axle": axle, "component": component} for axle, component in row.cells],
    }


def work_row(row: WorkRow, load: JointLoad | None) -> dict[str, Any]:
    """One cell in the order of work, with the terms of its score."""
    return {
        **_key(row.cell),
        "state": row.cell.state,
        "uncovered": tenths(row.cell.uncovered),
        "enquiries": row.enquiries,
        "effort_days": row.effort_days,
        "score": float(row.score),
        "load": None if load is None else {"braking_n": load.braking_n, "share": load.share},
    }


def work_terms() -> dict[str, Any]:
    """What the scores are made with."""
    return {
        "effort_days": {state: int(days.value) for state, days in EFFORT_DAYS.items()},
        "per_enquiry": int(CARS_PER_ENQUIRY.value),
    }


def sizes_body(families: Iterable[Family], bodies_at_most: int | None) -> Mapping[str, Any]:
    """The smallest sets of new sizes, without `catalogue`."""
    return {"bodies_at_most": bodies_at_most, "families": [_family(family, bodies_at_most) for family in families]}


def _key(cell: CoverageCell) -> dict[str, Any]:
    key = cell.key
    return {"axle": key.axle, "end": cell.end, "location": key.location, "component": key.component}


def _revisions(keys: Iterable[RevisionKey]) -> list[dict[str, str]]:
    return [{"part": part, "revision": letter} for part, letter in keys]


def _family(family: Family, bodies_at_most: int | None) -> dict[str, Any]:
    few = None
    if family.at_most is not None:
        few = {"bodies_at_most": bodies_at_most, **_sizes(family.at_most)}
    return {
        "part": family.part,
        "revision": family.letter,
        **_sizes(family.every),
        "left_out": [{"component": one.component, "why": one.why} for one in family.left_out],
        "at_most": few,
    }


def _sizes(found: SizeSet) -> dict[str, Any]:
    return {
        "cars": tenths(found.cars),
        "bodies": [_body(body) for body in found.bodies],
        "spacers": [_spacer(spacer) for spacer in found.spacers],
    }


def _body(body: Body) -> dict[str, Any]:
    return {"outside_mm": body.outside_mm, "components": list(body.components), "cars": tenths(body.cars)}


def _spacer(spacer: Spacer) -> dict[str, Any]:
    return {"hole_mm": spacer.hole_mm, "sleeve_mm": spacer.sleeve_mm, "components": list(spacer.components)}
