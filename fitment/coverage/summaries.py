"""Cells summed up: by platform and location, which still need a design, and the order of work. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from catalog.codes import CoverageState
from fitment.coverage.cells import CoverageCell
from fitment.coverage.counting import CellCounts
from fitment.engineering.constants import CARS_PER_ENQUIRY, EFFORT_DAYS

_WITHOUT_EFFORT = (CoverageState.NOT_OFFERED, CoverageState.UNKNOWN, CoverageState.RELEASED)


@dataclass(frozen=True)
class PlatformCoverage:
    """A location of a platform: cars by state, the greatest effort that any of them waits for, its cells."""

    maker: str
    chassis: str
    end: str
    location: str
    cars: Fraction
    uncovered: Fraction
    state: CoverageState
    states: dict[CoverageState, Fraction]
    cells: tuple[tuple[str, str], ...]


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
    cars = sum(found.states.values(), start=Fraction(0))
    settled = found.states.get(CoverageState.RELEASED, Fraction(0)) + found.states.get(
        CoverageState.UNKNOWN, Fraction(0)
    )
    return PlatformCoverage(
        maker=maker,
        chassis=chassis,
        end=end,
        location=location,
        cars=cars,
        uncovered=cars - settled,
        state=_worst(found.states),
        states=dict(sorted(found.states.items())),
        cells=tuple(sorted(found.cells)),
    )


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
class WorkRow:
    """A cell with the terms of its score."""

    cell: CoverageCell
    enquiries: int
    effort_days: int
    score: Fraction


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
