"""Writing the workbook: the same catalogue gives the same bytes, all of it from one moment."""

import csv
import io
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import xlsxwriter
from django.db import connection, transaction

from catalog.models import Catalogue
from catalog.sheets.sheet import Row, Sheet, Sheets
from catalog.workbook.storage import Table, sorted_rows

Read = Callable[[Sheet, Sheets], Iterator[Row]]
_NO_TIME = datetime(2000, 1, 1)
_ZIP_TIME = (2000, 1, 1, 0, 0, 0)


@contextmanager
def one_snapshot() -> Iterator[None]:
    """All reads inside see the database at one moment."""
    outermost = not connection.in_atomic_block
    with transaction.atomic():
        if outermost:
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def rows_of(sheet: Sheet, sheets: Sheets) -> Iterator[Row]:
    """The rows of a sheet in the order in which they are written."""
    if sheet.name == "catalogue":
        for kept in Catalogue.objects.exclude(code=""):
            yield kept.code, str(kept.edition), kept.as_of.isoformat() if kept.as_of else ""
        return
    yield from sorted_rows(Table(sheet, sheets).read())


def csv_files(sheets: Sheets, read: Read = rows_of) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of every sheet as CSV; `read` gives the rows, by default those that stand."""
    for sheet in sheets:
        text = io.StringIO(newline="")
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(sheet.index)
        writer.writerows(read(sheet, sheets))
        yield f"{sheet.name}.csv", text.getvalue().encode()


def spreadsheet(sheets: Sheets, read: Read = rows_of) -> bytes:
    """The workbook as .xlsx; figures are numbers, everything else is text. `read` as for `csv_files`."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"constant_memory": False, "in_memory": True})
    book.set_properties({"created": _NO_TIME, "title": "catalogue"})
    bold = book.add_format({"bold": True})
    text = book.add_format({"num_format": "@"})
    for sheet in sheets:
        page = book.add_worksheet(sheet.name)
        page.freeze_panes(1, len(sheet.key_at))
        for at, column in enumerate(sheet.columns):
            page.write_string(0, at, column.name, bold)
            page.set_column(at, at, max(9, len(column.name) + 2), text if column.kind.is_text else None)
        for number, row in enumerate(read(sheet, sheets), start=1):
            for at, (column, cell) in enumerate(zip(sheet.columns, row, strict=True)):
                if cell and column.kind.is_text:
                    page.write_string(number, at, cell, text)
                elif cell:
                    page.write_number(number, at, float(cell))
    book.close()
    return file.getvalue()


def zipped(files: Iterator[tuple[str, bytes]]) -> bytes:
    """Files in a zip whose bytes depend on nothing but them."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, data in files:
            info = zipfile.ZipInfo(name, _ZIP_TIME)
            info.compress_type, info.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(info, data)
    return packed.getvalue()


def dump(path: Path, *, sheets: Sheets) -> None:
    """Writes the workbook to a path: `.xlsx`, `.zip`, or a folder of CSV files. Raises OSError."""
    with one_snapshot():
        if path.suffix.lower() == ".xlsx":
            path.write_bytes(spreadsheet(sheets))
        elif path.suffix.lower() == ".zip":
            path.write_bytes(zipped(csv_files(sheets)))
        else:
            path.mkdir(parents=True, exist_ok=True)
            for name, data in csv_files(sheets):
                (path / name).write_bytes(data)
