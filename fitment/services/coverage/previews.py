"""What a row would change in coverage: the cells it is about, before and after, beside the answers it changes."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from catalog.codes import Role
from catalog.models import Joint
from catalog.workbook import editions
from catalog.workbook.report import Report
from fitment.coverage.cells import Cell
from fitment.coverage.counting import CellKey
from fitment.services.catalogue.rows import WAIT, row_mend
from fitment.services.coverage.cells import cells_now

# The columns by which a row of each sheet names the cells it is about.
_NAMED_BY: Mapping[str, tuple[str, ...]] = {
    "fit_decisions": ("component",),
    "measurements": ("component",),
    "test_fits": ("axle", "location", "component"),
    "stances": ("axle", "location"),
}
_PATHS = {"axle": "axle__code", "location": "location__code", "component": "component__code"}


@dataclass(frozen=True, slots=True)
class CellChange:
    """A cell before and after; both are equal in what is compared where it stays as it is."""

    before: Cell
    after: Cell

    @property
    def changes(self) -> bool:
        return _said(self.before) != _said(self.after)


def row_preview(
    *, sheet: str, values: Mapping[str, Any], actor: Any, role: Role
) -> tuple[Report, tuple[CellChange, ...]]:
    """A row added or changed by its key, nothing stored: what it does to the answers and to the cells it is about.

    Of a decision and a measurement these are all cells of the component, of a stance those of the place. Raises as
    `row_mend`.
    """
    after: dict[CellKey, Cell] = {}

    def look() -> None:
        after.update(cells_now(_cells_of(sheet, values)))

    with transaction.atomic():
        editions.catalogue_lock(wait=WAIT)  # nothing comes between the two looks
        report = row_mend(sheet=sheet, key=None, values=values, actor=actor, role=role, check=True, then=look)
        before = cells_now(after)
    return report, tuple(CellChange(before[key], cell) for key, cell in after.items())


def _cells_of(sheet: str, values: Mapping[str, Any]) -> list[CellKey]:
    columns = _NAMED_BY.get(sheet)
    if columns is None:
        return []
    rows = Joint.objects.filter(**{_PATHS[name]: values[name] for name in columns}).order_by()
    return [CellKey(*row) for row in rows.values_list(*_PATHS.values()).distinct()]


def _said(cell: Cell) -> tuple[Any, ...]:
    return cell.state, cell.by, cell.basis, cell.conflict, cell.cars, cell.covered
