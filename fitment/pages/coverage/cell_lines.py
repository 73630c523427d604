"""Cells before and after a row, as they are read."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.codes import CoverageState
from fitment.coverage.cells import CoverageCell
from fitment.coverage.counting import CellKey
from fitment.pages.coverage.matrix import cell_address, whole
from fitment.readers.names import names
from fitment.services.coverage.cells import CellChange
from fitment.text.coverage import LABELS
from fitment.text.fit import basis_label

LINES_SHOWN = 12


@dataclass(frozen=True, slots=True)
class CellSaid:
    """One side: the state, covered and uncovered cars, and how well the covered are known."""

    state: CoverageState
    word: str
    covered: str
    uncovered: str
    basis: str


@dataclass(frozen=True, slots=True)
class CellLine:
    title: str
    axle: str
    component: str
    href: str
    changes: bool
    before: CellSaid
    after: CellSaid


@dataclass(frozen=True, slots=True)
class CellLines:
    """The cells worth showing, and how many more change or stay."""

    lines: tuple[CellLine, ...]
    more: int
    stay: int


def cell_lines(changes: Iterable[CellChange], own: CellKey | None = None) -> CellLines:
    """Those that change, and always the one that the reader stands at, first; of a single one always that."""
    several = list(changes)
    shown = [one for one in several if one.changes or one.before.key == own or len(several) == 1]
    shown.sort(key=lambda one: (one.before.key != own, -one.before.cars, one.before.key))
    lines = tuple(map(_line, shown[:LINES_SHOWN]))
    return CellLines(lines, len(shown) - len(lines), len(several) - len(shown))


def _line(one: CellChange) -> CellLine:
    key, before = one.before.key, one.before
    title = names().location(before.end, key.location)
    href = cell_address(key.axle, key.location, key.component)
    return CellLine(title, key.axle, key.component, href, one.changes, _said(before), _said(one.after))


def _said(cell: CoverageCell) -> CellSaid:
    basis = basis_label(cell.basis) if cell.basis else ""
    return CellSaid(cell.state, LABELS[cell.state], whole(cell.covered), whole(cell.uncovered), basis)
