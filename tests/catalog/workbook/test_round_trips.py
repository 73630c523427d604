"""Load then dump gives the same rows in canonical form; dump then load changes nothing."""

from pathlib import Path

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from catalog.models import Catalogue
from catalog.workbook.dumping import csv_files, dump, spreadsheet
from fitment.sheets import SHEETS
from tests.catalog.workbook.small import read, small, write

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


TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n"), max_size=60)


@given(st.lists(TEXTS, min_size=1, max_size=8))
@how(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_text_comes_back_from_csv_and_spreadsheet(loaded, tmp_path_factory, texts: list[str]):
    """What is taken is given back as it was taken, in every form."""
    hazards = [{"hazard": f"h{at}", "title": f"t{at}", "caution": text} for at, text in enumerate(texts)]
    folder = tmp_path_factory.mktemp("texts")
    with transaction.atomic():
        report = loaded(write(folder / "in", {"hazards": hazards}))
        refused = {fault.row for fault in report.errors}
        kept = [text for at, text in enumerate(texts) if at + 2 not in refused]
        for at, text in enumerate(texts):
            bare = text.strip()
            assert (at + 2 in refused) == (
                not bare or bare.startswith(("=", "+", "@")) or text.startswith(("=", "+", "@"))
            )
        if not refused:
            assert {row["caution"] for row in read(_dumped(folder / "out"))["hazards"]} >= {
                text.strip() for text in kept
            }
            for form in ("out", "book.xlsx", "book.zip"):
                dump(folder / form, sheets=SHEETS)
                again = loaded(folder / form, replace=True)
                assert not again.refused, again.lines()
                assert not again.has_changes, form
        transaction.set_rollback(True)


def _dumped(folder: Path) -> Path:
    dump(folder, sheets=SHEETS)
    return folder


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
