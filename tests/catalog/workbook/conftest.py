"""Loads and dumps for tests of the workbook."""

from collections.abc import Callable
from pathlib import Path

import pytest

from catalog.workbook.dumping import dump
from catalog.workbook.reading import Source
from catalog.workbook.report import Report
from fitment.services.catalogue.loading import catalogue_load
from fitment.sheets import SHEETS
from tests.catalog.workbook.small import Table, read, small, write

Load = Callable[..., Report]


@pytest.fixture
def load(tmp_path: Path, db) -> Load:
    """Loads sheets (or a path) and gives the report."""
    count = iter(range(1_000))

    def loads(sheets: dict[str, Table] | Path, **wishes: bool) -> Report:
        path = sheets if isinstance(sheets, Path) else write(tmp_path / f"in{next(count)}", sheets)
        return catalogue_load(source=Source.of_path(path), actor_name="test", **wishes)

    return loads


@pytest.fixture
def dumped(tmp_path: Path, db) -> Callable[[], dict[str, Table]]:
    """The catalogue as a dump has it."""
    count = iter(range(1_000))

    def dumps() -> dict[str, Table]:
        folder = tmp_path / f"out{next(count)}"
        dump(folder, sheets=SHEETS)
        return read(folder)

    return dumps


@pytest.fixture
def loaded(load: Load) -> Load:
    """The small catalogue, loaded; further loads may follow."""
    report = load(small())
    assert not report.refused, "\n".join(report.lines())
    return load
