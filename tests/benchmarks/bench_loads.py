"""Loads of the demo and of 10 and 100 times the demo: what a row costs, and what reading alone would.

Reading a file's cells and giving them to COPY is what no load can be without. A row of a large workbook should cost
what one of a small workbook does, also where the whole workbook comes back with one row changed.
"""

import tempfile
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction

from catalog.workbook.errors import RowErrors
from catalog.workbook.reading import Source, raw_sheets
from fitment.services.catalogue.loading import catalogue_load
from tests.benchmarks.grown import grow
from tests.benchmarks.ratios import Ratio, seconds_of

SIZES = (1, 10, 100)
STANDING, CHANGED = b"LM-210,C,T-4110,,approved,", b"LM-210,C,T-4110,,rejected,"


@dataclass(frozen=True)
class Loads:
    """The rows of a workbook, and the seconds of its load into an empty catalogue and of its check with one changed."""

    rows: int
    load: float
    check: float


def rows() -> list[Ratio]:
    found: list[Ratio] = []
    measured: list[Loads] = []
    with tempfile.TemporaryDirectory() as folder:
        for size in SIZES:
            sheets = _make(Path(folder) / str(size), size)
            measured.append(_loads(sheets, rounds=3 if size == 1 else 1))
            count = measured[-1].rows
            reading = seconds_of(lambda sheets=sheets: _read_and_copy(sheets))
            found.append(
                Ratio(f"a load of {count:,} rows, a folder of .csv", "reading and COPY", measured[-1].load, reading)
            )
        found.append(_spreadsheet(Path(folder) / "workbook.xlsx", count))
    one, *larger = measured
    for of in larger:
        what, against = f"a row of {of.rows:,}", f"of {one.rows:,}"
        found += [
            Ratio(f"{what} loaded", against, of.load / of.rows, one.load / one.rows, aim=1.5),
            Ratio(f"{what} checked, one changed", against, of.check / of.rows, one.check / one.rows, aim=1.5),
        ]
    return found


def _make(folder: Path, size: int) -> Path:
    """Has a catalogue some times the demo, and gives it as a folder of sheets."""
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
    if size > 1:
        grow(size - 1)
    call_command("dump_catalogue", str(folder), stdout=StringIO())
    return folder


def _loads(folder: Path, *, rounds: int) -> Loads:
    count = sum(len(list(sheet.rows)) for sheet in raw_sheets(Source.of_path(folder), RowErrors(), []))
    loads = []
    for _ in range(rounds):
        call_command("flush", interactive=False, verbosity=0)
        loads.append(seconds_of(lambda: _load(folder)))
    sheet = folder / "fit_decisions.csv"
    whole = sheet.read_bytes()
    assert whole.count(STANDING) == 1
    sheet.write_bytes(whole.replace(STANDING, CHANGED))
    checks = [seconds_of(lambda: _load(folder, check=True)) for _ in range(rounds)]
    sheet.write_bytes(whole)
    return Loads(count, min(loads), min(checks))


def _spreadsheet(workbook: Path, count: int) -> Ratio:
    """The catalogue as it stands, as a spreadsheet."""
    call_command("dump_catalogue", str(workbook), stdout=StringIO())
    reading = seconds_of(lambda: _read_and_copy(workbook))
    call_command("flush", interactive=False, verbosity=0)
    load = seconds_of(lambda: _load(workbook))
    return Ratio(f"a load of {count:,} rows, .xlsx", "reading and COPY", load, reading)


def _read_and_copy(workbook: Path) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("CREATE TEMPORARY TABLE cells (sheet text, row integer, texts text[]) ON COMMIT DROP")
        with cursor.copy("COPY cells FROM STDIN") as copy:
            for sheet in raw_sheets(Source.of_path(workbook), RowErrors(), []):
                for number, cells in sheet.rows:
                    copy.write_row((sheet.name, number, [str(cell) for cell in cells]))


def _load(workbook: Path, *, check: bool = False) -> None:
    report = catalogue_load(source=Source.of_path(workbook), replace=True, force=True, check=check)
    assert not report.refused, report.lines(most=10)[:10]
    assert bool(report.differences.answers) is check
