"""The order of work: which uncovered cell pays most for a day's effort. Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitment.coverage.cells import Cell
from fitment.engineering.constants import CARS_PER_ENQUIRY, EFFORT_DAYS


@dataclass(frozen=True)
class Enquiry:
    """A question without an answer as far as it counts here; empty: not stated.

    `components` are those that the number leads to; None when no number was given.
    """

    maker: str
    chassis: str
    variant: str
    place: str
    components: frozenset[str] | None
    count: int

    def asks_for(self, cell: Cell) -> bool:
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

    cell: Cell
    enquiries: int
    effort_days: int
    score: Fraction


def work_of(cells: Sequence[Cell], enquiries: Iterable[Enquiry]) -> tuple[WorkRow, ...]:
    """Every cell that waits, the best score first, then by axle, location and component."""
    asked = list(enquiries)
    rows = []
    for cell in cells:
        if not cell.waits:
            continue
        count = sum(enquiry.count for enquiry in asked if enquiry.asks_for(cell))
        days = int(EFFORT_DAYS[cell.state].value)
        rows.append(WorkRow(cell, count, days, (cell.uncovered + int(CARS_PER_ENQUIRY.value) * count) / days))
    return tuple(sorted(rows, key=lambda row: (-row.score, row.cell.key)))
