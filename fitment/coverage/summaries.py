"""Cells summed up: by platform and location, which still need a design, and the order of work. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Annotated

from catalog.codes import CoverageState, End
from fitment.answers.contract import INLINE, INTERNAL, As, Cars, Values, member
from fitment.coverage.cells import CoverageCell
from fitment.coverage.counting import CellCounts, CellKey
from fitment.engineering.constants import CARS_PER_ENQUIRY, EFFORT_DAYS

_WITHOUT_EFFORT = (CoverageState.NOT_OFFERED, CoverageState.UNKNOWN, CoverageState.RELEASED)


@dataclass(frozen=True)
class AxleComponent:
    """An original joint on an axle."""

    axle: str
    component: str


def _named(cells: Iterable[tuple[str, str]]) -> list[AxleComponent]:
    return [AxleComponent(*cell) for cell in cells]


@dataclass(frozen=True)
class PlatformCoverage:
    """A location of a platform: cars by state, the greatest effort that any of them waits for, its cells."""

    maker: str
    chassis: str
    end: Annotated[str, As(End, End)]
    location: str
    cars: Cars
    uncovered: Cars
    state: CoverageState
    states: dict[CoverageState, Cars]
    cells: Annotated[tuple[tuple[str, str], ...], As(_named, tuple[AxleComponent, ...])]


@dataclass
class _PlatformSum:
    states: dict[CoverageState, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    cells: set[tuple[str, str]] = field(default_factory=set)


def platforms_of(cells: Sequence[CoverageCell], counts: CellCounts) -> tuple[PlatformCoverage, ...]:
    """Rows by maker, chassis, end and location; covered cars count as released, whatever the cell is."""
    sums: dict[tuple[str, str, str, str], _PlatformSum] = defaultdict(_PlatformSum)
    for cell in cells:
        for platform, share in cell.count.platforms.items():
            found = sums[*platform, cell.end, cell.key.location]
            found.cells.add((cell.key.axle, cell.key.component))
            if share.some_covered:
                found.states[CoverageState.RELEASED] += share.covered
            if share.some_uncovered:
                found.states[cell.state] += share.uncovered
    for (platform, end, location), cars in counts.unknown.items():
        sums[*platform, end, location].states[CoverageState.UNKNOWN] += cars
    return tuple(_row(*key, found) for key, found in sorted(sums.items(), key=lambda item: item[0]))


def _row(maker: str, chassis: str, end: str, location: str, found: _PlatformSum) -> PlatformCoverage:
    states = dict(sorted(found.states.items()))
    cars = sum(states.values(), start=Fraction(0))
    uncovered = cars - sum(states.get(state, 0) for state in (CoverageState.RELEASED, CoverageState.UNKNOWN))
    cells = tuple(sorted(found.cells))
    return PlatformCoverage(maker, chassis, end, location, cars, uncovered, _worst(states), states, cells)


def _worst(states: dict[CoverageState, Fraction]) -> CoverageState:
    waiting = [state for state in states if state in EFFORT_DAYS]
    if waiting:
        return max(waiting, key=lambda state: EFFORT_DAYS[state].value)
    return next(state for state in _WITHOUT_EFFORT if state in states)


@dataclass(frozen=True)
class OpenEnquiry:
    """A question without an answer as far as it counts here; empty: not stated.

    `components` are those that the number leads to; None when no number was given.
    """

    maker: str
    chassis: str
    variant: str
    place: str
    components: frozenset[str] | None
    count: int

    def asks_for(self, cell: CoverageCell) -> bool:
        """Whether it may be an uncovered car of this cell that was asked about."""
        if not self.place and self.components is None:
            return False
        if self.place and self.place != f"{cell.end}.{cell.key.location}":
            return False
        if self.components is not None and cell.key.component not in self.components:
            return False
        stated = (self.maker, self.chassis, self.variant)
        return any(
            all(not wanted or wanted == has for wanted, has in zip(stated, car, strict=True))
            for car in cell.count.waiting
        )


@dataclass(frozen=True)
class JointLoad:
    """What a joint carries under braking, in N, and its share of the compliance."""

    braking_n: float
    share: float


@dataclass(frozen=True)
class WorkRow:
    """A cell with the terms of its score."""

    cell: Annotated[CoverageCell, INTERNAL]
    enquiries: int
    effort_days: int
    score: Fraction
    load: JointLoad | None = None

    @member
    def key(self) -> Annotated[CellKey, INLINE]:
        return self.cell.key

    @member
    def end(self) -> End:
        return End(self.cell.end)

    @member
    def state(self) -> Annotated[CoverageState, Values(tuple(EFFORT_DAYS))]:
        return self.cell.state

    @member
    def uncovered(self) -> Cars:
        return self.cell.uncovered


def work_of(cells: Sequence[CoverageCell], enquiries: Iterable[OpenEnquiry]) -> tuple[WorkRow, ...]:
    """Every cell that waits, the best score first, then by axle, location and component."""
    enquiries = list(enquiries)
    rows = []
    for cell in cells:
        if not cell.waits:
            continue
        count = sum(enquiry.count for enquiry in enquiries if enquiry.asks_for(cell))
        days = int(EFFORT_DAYS[cell.state].value)
        rows.append(WorkRow(cell, count, days, (cell.uncovered + int(CARS_PER_ENQUIRY.value) * count) / days))
    return tuple(sorted(rows, key=lambda row: (-row.score, row.cell.key)))
