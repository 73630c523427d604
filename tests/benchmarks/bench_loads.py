"""A load of 100,000 rows against reading its cells and giving them to COPY, which no load can be without."""

import tempfile
from io import StringIO
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction

from catalog.workbook.faults import Faults
from catalog.workbook.reading import Source, raw_sheets
from fitment.services.loading import catalogue_load
from tests.benchmarks.grown import grow
from tests.benchmarks.ratios import Ratio, seconds_of

ROWS = 100_000


def rows() -> list[Ratio]:
    with tempfile.TemporaryDirectory() as folder:
        found = []
        for name in ("workbook.xlsx", "sheets"):
            workbook = Path(folder) / name
            count = _make(workbook)
            base = seconds_of(lambda workbook=workbook: _read_and_copy(workbook))
            call_command("flush", interactive=False, verbosity=0)
            load = seconds_of(lambda workbook=workbook: _load(workbook))
            kind = workbook.suffix or "a folder of .csv"
            found.append(Ratio(f"a load of {count:,} rows, {kind}", "reading and COPY", load, base))
        return found


def _make(workbook: Path) -> int:
    """Writes a workbook of about the wanted number of rows and returns how many it has."""
    demo = settings.ROOT / "fixtures" / "demo"
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_catalogue", str(demo), stdout=StringIO())
    alone = sum(path.read_text().count("\n") - 1 for path in demo.glob("*.csv"))
    grow(ROWS // alone)
    call_command("dump_catalogue", str(workbook), stdout=StringIO())
    return sum(len(list(sheet.rows)) for sheet in raw_sheets(Source.of_path(workbook), Faults(), []))


def _read_and_copy(workbook: Path) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("CREATE TEMPORARY TABLE cells (sheet text, row integer, texts text[]) ON COMMIT DROP")
        with cursor.copy("COPY cells FROM STDIN") as copy:
            for sheet in raw_sheets(Source.of_path(workbook), Faults(), []):
                for number, cells in sheet.rows:
                    copy.write_row((sheet.name, number, [str(cell) for cell in cells]))


def _load(workbook: Path) -> None:
    report = catalogue_load(source=Source.of_path(workbook), replace=True, force=True)
    assert not report.refused, report.lines(most=10)[:10]
