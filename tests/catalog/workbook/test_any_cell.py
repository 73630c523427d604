"""A random change of any cell of the demo is refused by name, or changes only what it says."""

import csv
import random

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from catalog.workbook.dumping import csv_files
from catalog.workbook.loading import Engine, LoadOptions, load
from catalog.workbook.reading import Source
from fitment.services.catalogue.loading import CHECKS
from fitment.sheets import SHEETS
from tests.catalog.workbook.small import Table, write
from tests.demo import DEMO, demo_loaded

pytestmark = pytest.mark.django_db
ENGINE = Engine(SHEETS, CHECKS)  # answers are compared elsewhere


def read_demo() -> dict[str, Table]:
    found = {}
    for path in sorted(DEMO.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found[path.stem] = list(csv.DictReader(file))
    return found


def rows_now() -> dict[str, list[list[str]]]:
    return {name: list(csv.reader(data.decode().splitlines(keepends=True))) for name, data in csv_files(SHEETS)}


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    with demo_loaded(django_db_blocker):
        yield read_demo()


CELLS = [
    (sheet, row, column)
    for sheet, rows in read_demo().items()
    if sheet not in ("catalogue", "enquiries")
    for row in range(len(rows))
    for column in rows[0]
]
TEXTS = st.one_of(
    st.sampled_from(["", "0", "-1", "1", "99999", "1.23456789", "2016", "2016-02-30", "yes", "no", "left", "Ü", ".."]),
    st.sampled_from(["x y", "=1", "a;b", "a | b"]),
    st.text(st.characters(exclude_categories=("Cs",)), max_size=12),
)  # fmt: skip


@given(st.data())
@how(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_a_changed_cell_is_refused_by_name_or_changes_only_what_it_says(demo, tmp_path_factory, data):
    sheet, at, column = data.draw(st.sampled_from(CELLS))
    rows = demo[sheet]
    others = sorted({row[column] for row in rows})
    text = data.draw(st.one_of(TEXTS, st.sampled_from(others)))
    spoilt = rows[at] | {column: text}
    group = SHEETS[sheet].group
    file = {
        sheet: [
            row for row in rows if row is rows[at] or (group and all(row[name] == rows[at][name] for name in group))
        ]
    }
    place = next(index for index, row in enumerate(file[sheet]) if row is rows[at])
    file[sheet] = [spoilt if index == place else row for index, row in enumerate(file[sheet])]
    with transaction.atomic():
        before = rows_now()
        folder = write(tmp_path_factory.mktemp("spoilt"), file)
        report = load(engine=ENGINE, source=Source.of_path(folder), options=LoadOptions())
        after = rows_now()
        transaction.set_rollback(True)
    if report.refused:
        assert after == before
        assert all(fault.sheet and fault.wrong and fault.right for fault in report.errors)
        assert any(fault.sheet == sheet and fault.row == place + 2 for fault in report.errors) or column in [
            one.name for one in SHEETS[sheet].columns if one.key
        ], report.lines()
        return
    for name in before:
        if name not in (f"{sheet}.csv", "catalogue.csv"):
            assert after[name] == before[name], (name, spoilt)
    gone = [row for row in before[f"{sheet}.csv"] if row not in after[f"{sheet}.csv"]]
    come = [row for row in after[f"{sheet}.csv"] if row not in before[f"{sheet}.csv"]]
    assert len(come) <= 1
    assert len(gone) <= 1
    if come and gone and not SHEETS[sheet].column(column).key:  # another key is another row
        different = [head for head, old, new in zip(SHEETS[sheet].index, gone[0], come[0], strict=True) if old != new]
        assert different == [column], (different, spoilt)


@given(seed=st.integers(0, 10_000))
@how(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_part_of_the_demo_loaded_again_changes_nothing(demo, tmp_path_factory, seed: int):
    chosen = random.Random(seed)
    sheets = {
        name: [row for row in rows if chosen.random() < 0.3] for name, rows in demo.items() if not SHEETS[name].group
    }
    columns = {name: [one.name for one in SHEETS[name].columns if one.key or chosen.random() < 0.5] for name in sheets}
    del sheets["catalogue"]
    part = {
        name: [{column: row[column] for column in columns[name]} for row in rows]
        for name, rows in sheets.items()
        if rows
    }
    report = load(
        engine=ENGINE, source=Source.of_path(write(tmp_path_factory.mktemp("part"), part)), options=LoadOptions()
    )
    assert not report.refused, report.lines()
    assert not report.has_changes
