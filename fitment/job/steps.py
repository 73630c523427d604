"""The steps of a job, phase by phase: remove, fit, refit, ride height, after-work."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitment.domain.procedures import Operation
from fitment.job.access import Plan, Site
from fitment.job.fasteners import RIDE_HEIGHT, FastenerLine
from fitment.job.operation_graph import used
from fitment.job.tools import EQUIPMENT, Tool, fastener_tools

REMOVE, FIT, REFIT, AT_RIDE_HEIGHT, AFTER = "remove", "fit", "refit", "ride_height", "after"


@dataclass(frozen=True, slots=True)
class Step:
    """One step. side: `left`, `right`, `both` where it is done side by side, None where once for the axle.

    minutes: of the sides done; None where it is done elsewhere. hazards: codes. A `fit` step has a part and a place
    (`end.location`) instead of an operation.
    """

    phase: str
    operation: str | None
    title: str
    text: str
    watch_for: str
    side: str | None
    minutes: Fraction | None
    tools: tuple[Tool, ...] = ()
    fasteners: tuple[FastenerLine, ...] = ()
    hazards: tuple[str, ...] = ()
    elsewhere: bool = False
    part: str | None = None
    place: str | None = None
    pieces: int | None = None


def steps(site: Site, plan: Plan, side: str, lines: Sequence[FastenerLine]) -> list[Step]:
    """All steps of a plan in the order of work. What is tightened at ride height waits until the car stands on it."""
    way_in = [site.operations[name] for name in plan.operations]
    found = [
        _step(site, REMOVE, o, side, o.remove, [line for line in lines if line.operation == o.name]) for o in way_in
    ]
    found += _fit(site, plan, side)
    for operation in reversed(way_in):
        tightened = _tightened(lines, operation, ride_height=False)
        found.append(_step(site, REFIT, operation, side, operation.refit, tightened))
    for operation in reversed(way_in):
        tightened = _tightened(lines, operation, ride_height=True)
        if tightened:
            found.append(_step(site, AT_RIDE_HEIGHT, operation, side, Fraction(0), tightened, quiet=True))
    for name in plan.after:
        operation = site.operations[name]
        own = [line for line in lines if line.operation == name]
        elsewhere = name in plan.elsewhere
        found.append(_step(site, AFTER, operation, side, operation.expected, own, elsewhere=elsewhere))
    return found


def _tightened(lines: Sequence[FastenerLine], operation: Operation, *, ride_height: bool) -> list[FastenerLine]:
    own = (line for line in lines if line.operation == operation.name)
    return [line for line in own if (line.tighten_at == RIDE_HEIGHT) is ride_height]


def _step(
    site: Site,
    phase: str,
    operation: Operation,
    side: str,
    minutes: Fraction,
    lines: Sequence[FastenerLine],
    *,
    elsewhere: bool = False,
    quiet: bool = False,
) -> Step:
    """`quiet`: only fasteners are tightened, the operation's own equipment is no longer asked for."""
    equipment = () if elsewhere or quiet else used(operation.equipment, site.equipment)
    return Step(
        phase=phase,
        operation=operation.name,
        title=operation.title,
        text="" if quiet else operation.text,
        watch_for="" if quiet else operation.watch_for,
        side=side if operation.per_side else None,
        minutes=None if elsewhere else minutes * operation.times(site.sides),
        tools=() if elsewhere else (*(Tool(EQUIPMENT, code) for code in equipment), *fastener_tools(lines)),
        fasteners=() if elsewhere else tuple(lines),
        hazards=() if quiet else operation.hazards,
        elsewhere=elsewhere,
    )


def _fit(site: Site, plan: Plan, side: str) -> list[Step]:
    found = []
    for goal in plan.goals:
        place = site.workshop.axles[site.car.axles[goal.end]].places[goal.location]
        pieces = place.pieces_of(site.sides)
        work = next((work for work in plan.bench if work.part == goal.part.code), None)
        here = work is not None and not work.elsewhere
        equipment = used(work.bench.equipment, site.equipment) if work is not None and here else []
        found.append(
            Step(
                phase=FIT,
                operation=None,
                title=place.title,
                text="",
                watch_for="",
                side=None if place.per_axle else side,
                minutes=work.bench.expected * pieces if work is not None and here else None if work else Fraction(0),
                tools=tuple(Tool(EQUIPMENT, code) for code in equipment),
                part=goal.part.code,
                place=goal.place,
                pieces=pieces,
            )
        )
    return found
