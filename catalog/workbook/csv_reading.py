"""CSV sheets: UTF-8, commas, one file a sheet, the first row the heads."""

import csv
import io
from collections.abc import Iterator
from pathlib import PurePath

from catalog.sheets.kinds import MOST_SIGNS
from catalog.workbook.cells import MOST_ROWS, Cell, RawSheet
from catalog.workbook.faults import Faults

_OTHER_MARKS = {b"\xff\xfe": "UTF-16", b"\xfe\xff": "UTF-16"}
MOST_LINES = 2 * MOST_ROWS  # empty rows count for nothing, but to read hundreds of millions of them takes long
csv.field_size_limit(MOST_SIGNS * 8)


def sheet_name_of(path: str) -> str | None:
    """The sheet that a file is, or None when it is no CSV file."""
    name = PurePath(path).name
    stem, dot, ending = name.rpartition(".")
    return stem if dot and ending.lower() == "csv" and stem and not name.startswith((".", "~")) else None


def csv_sheet(name: str, data: bytes, faults: Faults) -> RawSheet | None:
    """A sheet out of the bytes of a file; None when it cannot be read at all (the faults say why).

    Rows are read as they are asked for; what is wrong with them is added to the faults then, and past the last line
    that is taken Refused is raised.
    """
    for mark, encoding in _OTHER_MARKS.items():
        if data.startswith(mark):
            faults.add(name, None, None, f"the file is {encoding}", "save it as UTF-8")
            return None
    try:
        data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        faults.add(name, row, None, f"the byte {data[error.start]:#04x} is not UTF-8", "save the file as UTF-8")
        return None
    # Decoded once more as it is read: the whole text, kept beside its bytes, takes several times their room.
    reader = csv.reader(io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig", newline=""), strict=True)
    try:
        heads = next(reader, [])
    except csv.Error as error:
        faults.add(name, 1, None, f"the heads cannot be read ({error})", "write them separated by commas")
        return None
    if len(heads) == 1 and (";" in heads[0] or "\t" in heads[0]):
        faults.add(name, 1, None, "the columns are not separated by commas", "save the file with commas")
        return None
    return RawSheet(name, heads, _rows(name, heads, reader, faults))


def _rows(name: str, heads: list[str], reader: Iterator[list[str]], faults: Faults) -> Iterator[tuple[int, list[Cell]]]:
    number = 1
    while True:
        number += 1
        try:
            row = next(reader, None)
        except csv.Error as error:
            faults.add(name, number, None, f"the row cannot be read ({error})", "close every quotation mark")
            return
        if row is None:
            return
        if number > MOST_LINES:
            faults.add(name, number, None, f"the file goes on past row {MOST_LINES:,}", "take the empty rows out")
            faults.refuse()
        if not row:
            continue
        if len(row) != len(heads):
            many = len(row) > len(heads)
            faults.add(
                name,
                number,
                None,
                f"the row has {len(row)} cells, the heads are {len(heads)}",
                "take the cell too many out, or put the text that holds a comma in quotation marks"
                if many
                else "write a comma for every empty cell",
            )
            continue
        yield number, list[Cell](row)
