"""Load then dump gives the same rows in canonical form; dump then load changes nothing."""

from pathlib import Path

import pytest

from catalog.models import Catalogue
from catalog.workbook.dumping import csv_files, dump, spreadsheet
from fitment.sheets import SHEETS

from .small import small

pytestmark = pytest.mark.django_db


def test_every_sheet_of_the_contract_has_a_row_here():
    assert set(small()) == set(SHEETS.names())
    for name, rows in small().items():
        assert list(rows[0]) == list(SHEETS[name].index), name


def test_load_then_dump_gives_the_same_rows(loaded, dumped):
    wanted = small()
    wanted["catalogue"][0]["edition"] = "1"
    got = dumped()
    for name, rows in wanted.items():
        key = [column.name for column in SHEETS[name].columns if column.key]
        assert got[name] == sorted(rows, key=lambda row: [row[part] for part in key]), name


@pytest.mark.parametrize("form", ["folder", "book.xlsx", "book.zip"])
@pytest.mark.parametrize("replace", [False, True])
def test_dump_then_load_changes_nothing(loaded, tmp_path: Path, form: str, replace: bool):
    dump(tmp_path / form, sheets=SHEETS)
    report = loaded(tmp_path / form, replace=replace)
    assert not report.refused, report.lines()
    assert not report.has_changes
    assert Catalogue.objects.get().edition == 1
    assert report.counts["joints"] == {"added": 0, "changed": 0, "unchanged": 4, "removed": 0}


def test_two_dumps_are_the_same_to_the_byte(loaded):
    assert list(csv_files(SHEETS)) == list(csv_files(SHEETS))
    assert spreadsheet(SHEETS) == spreadsheet(SHEETS)


def test_nothing_depends_on_the_order_of_rows(load, dumped):
    sheets = {name: rows[::-1] for name, rows in reversed(small().items())}
    report = load(sheets)
    assert not report.refused, report.lines()
    backwards = dumped()
    assert backwards["joints"] == sorted(
        small()["joints"], key=lambda row: (row["axle"], row["component"], row["built_from"])
    )


def test_a_first_load_takes_the_code_of_the_file_and_is_edition_one(loaded):
    catalogue = Catalogue.objects.get()
    assert (catalogue.code, catalogue.edition, str(catalogue.as_of)) == ("small", 1, "2025-06-30")


def test_a_first_load_without_a_code_makes_one_up(load):
    report = load({"makers": small()["makers"]})
    assert not report.refused
    assert Catalogue.objects.get().code
    assert report.edition_after == 1
