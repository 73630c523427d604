"""Cells rolled up by platform and location: which platforms still need a design. Pure."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from catalog.codes import CoverageState
from fitment.coverage.cells import Cell
from fitment.coverage.counting import Counts
from fitment.engineering.constants import EFFORT_DAYS

_WITHOUT_EFFORT = (CoverageState.NOT_OFFERED, CoverageState.UNKNOWN, CoverageState.RELEASED)


@dataclass(frozen=True)
class PlatformRow:
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
class _Sum:
    states: dict[CoverageState, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    cells: set[tuple[str, str]] = field(default_factory=set)


def platforms_of(cells: Sequence[Cell], counts: Counts) -> tuple[PlatformRow, ...]:
    """Rows by maker, chassis, end and location; covered cars count as released, whatever the cell is."""
    sums: dict[tuple[str, str, str, str], _Sum] = defaultdict(_Sum)
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


def _row(maker: str, chassis: str, end: str, location: str, found: _Sum) -> PlatformRow:
    cars = sum(found.states.values(), start=Fraction(0))
    settled = found.states.get(CoverageState.RELEASED, Fraction(0)) + found.states.get(
        CoverageState.UNKNOWN, Fraction(0)
    )
    return PlatformRow(
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
