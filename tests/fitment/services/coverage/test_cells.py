"""A preview says of the cells what stands there once the row is stored, and stores nothing."""

import pytest

from catalog.codes import CoverageState, Role
from catalog.models import Catalogue
from catalog.workbook.reading import Source
from fitment.coverage.counting import CellKey
from fitment.errors import BadParameters
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.catalogue.rows import row_edit
from fitment.services.coverage.cells import coverage, row_preview
from tests.catalog.workbook.small import small, write

CELL = CellKey("RX1", "toe.inner", "C3")
WHO = {"actor": None, "role": Role.DEVELOPMENT}
DECISION = {"part": "LM-2", "revision": "A", "component": "C3", "decision": "proposed", "decided_on": "2024-05-01"}
ROWS = {
    "a proposal": ("fit_decisions", DECISION),
    "an approval": ("fit_decisions", {**DECISION, "decision": "approved"}),
    "an approval of some cars": ("fit_decisions", {**DECISION, "decision": "approved", "conditions": "built = ..2016"}),
    "a test fit": (
        "test_fits",
        {"ref": "TF-9", "part": "LM-2", "revision": "A", "variant": "V1", "axle": "RX1", "location": "toe.inner",
         "component": "C3", "side": "left", "outcome": "passed", "done_on": "2024-05-02"},
    ),
    "a measurement": (
        "measurements",
        {"component": "C3", "feature": "bore", "mean_mm": "62.01", "samples": "3", "spread_mm": "0.004",
         "uncertainty_mm": "0.002", "measured_on": "2024-05-02"},
    ),
    "a stance": ("stances", {"axle": "RX1", "location": "toe.inner", "stance": "not_offered", "reason": "too few"}),
}  # fmt: skip


@pytest.fixture(autouse=True)
def catalogue(tmp_path, db):
    catalogue_load(source=Source.of_path(write(tmp_path / "in", small())), actor_name="test")


def cell_there():
    return next(cell for cell in coverage().cells if cell.key == CELL)


@pytest.mark.parametrize("name", ROWS)
def test_what_is_previewed_is_what_comes(name):
    sheet, values = ROWS[name]
    edition = Catalogue.objects.get().edition
    _, changes = row_preview(sheet=sheet, values=values, **WHO)
    assert Catalogue.objects.get().edition == edition
    change = next(one for one in changes if one.before.key == CELL)
    assert change.before == cell_there()
    row_edit(sheet=sheet, key=None, values=values, **WHO)
    assert change.after == cell_there()


def test_states_before_and_after():
    """A proposal, then an approval: from what the sizes say to covered."""
    _, (proposed,) = row_preview(sheet="fit_decisions", values=DECISION, **WHO)
    assert proposed.changes
    assert (proposed.before.state, proposed.after.state) == (CoverageState.UNMEASURED, CoverageState.PROTOTYPE)
    _, (approved,) = row_preview(sheet="fit_decisions", values={**DECISION, "decision": "approved"}, **WHO)
    assert approved.after.state is CoverageState.RELEASED
    assert approved.after.covered == approved.before.uncovered


def test_a_row_that_stands_changes_nothing():
    row_edit(sheet="fit_decisions", key=None, values=DECISION, **WHO)
    report, (change,) = row_preview(sheet="fit_decisions", values=DECISION, **WHO)
    assert not report.has_changes
    assert not change.changes


@pytest.mark.parametrize("values", [{**DECISION, "component": "C9"}, {**DECISION, "component": "a\x00b"}])
def test_a_wrong_row_is_refused_as_ever(values):
    with pytest.raises(BadParameters):
        row_preview(sheet="fit_decisions", values=values, **WHO)
