"""Cells of coverage as lists: how a page names a cell, the order of work, and the files of all rows.

Each file is a table of `TABLES`: the same columns as CSV and as a sheet of the workbook.
"""

import io
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import xlsxwriter
from django.urls import reverse

from catalog.codes import CoverageState
from fitment.answers.contract import tenths
from fitment.coverage.cells import CoverageCell
from fitment.coverage.component_verdicts import RevisionKey
from fitment.coverage.counting import CellKey
from fitment.coverage.summaries import PlatformCoverage, WorkRow
from fitment.coverage.uncovered_groups import GroupVerdicts
from fitment.engineering.constants import EFFORT_DAYS
from fitment.pages.shared.addresses import address
from fitment.readers.vocabulary import names
from fitment.services.coverage.cells import groups_of_cells
from fitment.services.coverage.engineering import JointLoad, joint_loads
from fitment.text.coverage import GROUP_VERDICTS

Value = str | int | float
Rows = Iterable[Sequence[Value]]


@dataclass(frozen=True, slots=True)
class FilteredCoverage:
    """What the filters leave: platforms by location, cells, and the order of work."""

    platforms: list[PlatformCoverage]
    cells: list[CoverageCell]
    work: list[WorkRow]


@dataclass(frozen=True, slots=True)
class CellView:
    """A cell with its joint's and its component's title and its address."""

    cell: CoverageCell
    title: str
    component_title: str
    href: str


def cell_view(cell: CoverageCell) -> CellView:
    key, called = cell.key, names()
    title = called.location(cell.end, key.location)
    return CellView(cell, title, called.components.get(key.component, ""), cell_address(key))


def cell_address(key: CellKey) -> str:
    return address(reverse("coverage-cell", args=[key.axle, key.location]), {"component": [key.component]})


def work_lines(rows: Sequence[WorkRow]) -> list[tuple[WorkRow, CellView, JointLoad | None]]:
    """The order of work; loads are estimates of the corner, where it is modelled."""
    loads = _loads(rows)
    return [(row, cell_view(row.cell), loads.get(row.cell.key)) for row in rows]


def effort_lines() -> list[tuple[CoverageState, int, str]]:
    """State, days, source."""
    return [(CoverageState(name), int(days.value), days.source) for name, days in EFFORT_DAYS.items()]


def group_verdicts(verdicts: GroupVerdicts) -> list[tuple[str, list[RevisionKey]]]:
    """What is said of revisions on the cars of a group, in words."""
    found = ((words, sorted(getattr(verdicts, name))) for name, words in GROUP_VERDICTS.items())
    return [(words, revisions) for words, revisions in found if revisions]


def workbook(shown: FilteredCoverage) -> bytes:
    """Every table as a sheet, the effort that the scores are made with too."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    bold = book.add_format({"bold": True})
    for name, (heads, rows_of) in TABLES.items():
        page = book.add_worksheet(name)
        page.freeze_panes(1, 0)
        page.set_column(0, len(heads) - 1, 14)
        page.write_row(0, 0, heads, bold)
        for number, row in enumerate(rows_of(shown), start=1):
            for at, value in enumerate(row):
                if isinstance(value, str):
                    page.write_string(number, at, value)
                else:
                    page.write_number(number, at, value)
    book.close()
    return file.getvalue()


def _loads(rows: Sequence[WorkRow]) -> dict[CellKey, JointLoad]:
    """The load at the joint of each row, where it is known."""
    keys = {(row.cell.key.axle, row.cell.key.location, row.cell.key.component): row.cell.key for row in rows}
    return {keys[place]: load for place, load in joint_loads(tuple(keys)).items()}


def _place(cell: CoverageCell) -> tuple[str, str, str, str]:
    return cell.key.axle, cell.end, cell.key.location, cell.key.component


def _revisions(keys: Iterable[RevisionKey]) -> str:
    return " ".join(f"{part}-{letter}" for part, letter in keys)


def _cells(shown: FilteredCoverage) -> Rows:
    terms = {row.cell.key: row for row in shown.work}
    for cell in shown.cells:
        cars = map(tenths, (cell.cars, cell.covered, cell.uncovered))
        conflict = "yes" if cell.conflict else "no"
        work = terms.get(cell.key)
        score = (work.enquiries, work.effort_days, float(work.score)) if work else ("", "", "")
        basis = cell.basis.value if cell.basis else ""
        yield *_place(cell), *cars, cell.state.value, basis, _revisions(cell.by), conflict, *score


def _platforms(shown: FilteredCoverage) -> Rows:
    for row in shown.platforms:
        platform = (row.maker, row.chassis, row.end, row.location)
        axles = " ".join(sorted({axle for axle, _ in row.cells}))
        components = " ".join(component for _, component in row.cells)
        yield *platform, tenths(row.cars), tenths(row.uncovered), row.state.value, axles, components


def _work(shown: FilteredCoverage) -> Rows:
    loads = _loads(shown.work)
    for rank, row in enumerate(shown.work, start=1):
        cell, load = row.cell, loads.get(row.cell.key)
        terms = (tenths(cell.uncovered), row.enquiries, row.effort_days, float(row.score))
        estimates = (load.braking_n, load.share) if load else ("", "")
        yield rank, *_place(cell), cell.state.value, *terms, *estimates


def _uncovered(shown: FilteredCoverage) -> Rows:
    for cell, group in groups_of_cells(shown.cells):
        verdicts = (_revisions(getattr(group.verdicts, name)) for name in GROUP_VERDICTS)
        cars = (str(group.conditions), tenths(group.cars), " ".join(group.variants))
        yield *_place(cell), cell.state.value, *cars, *verdicts


def _effort(shown: FilteredCoverage) -> Rows:
    return ((state.value, days, source) for state, days, source in effort_lines())


_CELL = "axle end location component"
TABLES: dict[str, tuple[list[str], Callable[[FilteredCoverage], Rows]]] = {
    name: (heads.split(), rows_of)
    for name, heads, rows_of in (
        ("cells", f"{_CELL} cars covered uncovered state basis by conflict enquiries effort_days score", _cells),
        ("platforms", "maker chassis end location cars uncovered state axles components", _platforms),
        ("work", f"rank {_CELL} state uncovered enquiries effort_days score braking_n share", _work),
        ("uncovered", f"{_CELL} state conditions cars variants {' '.join(GROUP_VERDICTS)}", _uncovered),
        ("effort", "state days source", _effort),
    )
}
"""By name: the heads, and what makes the rows."""
