"""The coverage matrix: every cell with its cars, its state and what reaches it. Pure."""

from collections.abc import Collection
from dataclasses import dataclass
from fractions import Fraction

from catalog.codes import Basis, CoverageState
from catalog.stamps import letter_order
from fitment.coverage.counting import CellKey, Count, Counts
from fitment.coverage.said import RevisionKey
from fitment.coverage.states import Nearest, nearest, passed_prototypes
from fitment.domain.facts import Facts
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.matching import Matching


@dataclass(frozen=True)
class Cell:
    """One cell, with the count it was made from."""

    key: CellKey
    end: str
    state: CoverageState
    by: tuple[RevisionKey, ...]
    conflict: bool
    count: Count

    @property
    def cars(self) -> Fraction:
        return self.count.whole.cars

    @property
    def covered(self) -> Fraction:
        return self.count.whole.covered

    @property
    def uncovered(self) -> Fraction:
        return self.count.whole.uncovered

    @property
    def basis(self) -> Basis | None:
        return self.count.basis

    @property
    def waits(self) -> bool:
        """Whether some car is uncovered and we mean to cover it."""
        return self.state not in (CoverageState.RELEASED, CoverageState.NOT_OFFERED)


def cells_of(facts: Facts, counts: Counts, matching: Matching, not_offered: Collection[AxlePlace]) -> tuple[Cell, ...]:
    """All cells by axle, location and component; `not_offered` are the places we have decided against."""
    passed = passed_prototypes(facts)
    cells = []
    for key, count in sorted(counts.cells.items(), key=lambda item: item[0]):
        refused = AxlePlace(key.axle, key.location) in not_offered
        if not count.whole.some_uncovered:
            found = Nearest(CoverageState.RELEASED, tuple(count.by))
        elif refused:
            found = Nearest(CoverageState.NOT_OFFERED)
        else:
            found = nearest(key, count, matching, passed.get(key, ()))
        by = sorted(found.by, key=lambda revision: (revision[0], letter_order(revision[1])))
        conflict = refused and count.whole.covered > 0
        cells.append(Cell(key, count.end, found.state, tuple(by), conflict, count))
    return tuple(cells)
