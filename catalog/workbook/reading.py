"""A workbook from wherever it lies, as sheets of cells: a spreadsheet, a folder of CSV files, or a zip of them.

Zip files come from strangers: they are counted while they inflate, and names are looked at before anything is read.
CSV sheets are UTF-8 with commas, one file a sheet, the first row the heads.
"""

import csv
import io
import lzma
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePath

from catalog.sheets.kinds import MOST_SIGNS
from catalog.workbook.cells import MOST_BYTES, MOST_INFLATED, MOST_MEMBERS, MOST_ROWS, Cell, RawSheet
from catalog.workbook.errors import RowError, RowErrors
from catalog.workbook.xlsx_reading import is_spreadsheet, spreadsheet_sheets

MOST_LINES = 2 * MOST_ROWS  # empty rows count for nothing, but to read hundreds of millions of them takes long
RIGHT = "give an .xlsx file, or a folder or zip of .csv files"
_ZIP = b"PK"
_OLD_OFFICE = b"\xd0\xcf\x11\xe0"
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_CHUNK = 1 << 16
_ENCRYPTED = 0x1
_DAMAGE = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, NotImplementedError, OSError, RuntimeError)
csv.field_size_limit(MOST_SIGNS * 8)


@dataclass(frozen=True, slots=True)
class Source:
    """A folder, or the bytes of a file, with the name it goes by."""

    name: str
    folder: Path | None = None
    data: bytes = b""

    @classmethod
    def of_path(cls, path: Path) -> "Source":
        """A file or folder of this machine; raises OSError when it cannot be read."""
        return cls(path.name, folder=path) if path.is_dir() else cls(path.name, data=path.read_bytes())


def no_workbook(name: str, data: bytes) -> RowError | None:
    """What is wrong with a file that is no workbook at its first glance."""
    if data.startswith(_OLD_OFFICE):
        wrong, right = f"'{name}' is an old or encrypted spreadsheet", "save it as .xlsx, without a password"
    elif not data.startswith(_ZIP):
        wrong, right = f"'{name}' is {'neither a spreadsheet nor a zip' if data else 'empty'}", RIGHT
    else:
        return None
    return RowError("", None, None, wrong, right)


def raw_sheets(source: Source, errors: RowErrors, notes: list[str]) -> Iterator[RawSheet]:
    """The sheets of a workbook, as the file has them.

    Raises Refused when the file as a whole cannot be taken; what is wrong with single sheets is added to the errors.
    """
    if source.folder is not None:
        files = sorted(path for path in source.folder.iterdir() if path.is_file())
        yield from _csv_files({path.name: path for path in files}, source.name, errors, notes)
        return
    if (wrong := no_workbook(source.name, source.data)) is not None:
        errors.fail(wrong.wrong, wrong.right)
    members = members_of(source.data, name=source.name, errors=errors)
    if is_spreadsheet(members):
        yield from spreadsheet_sheets(members, name=source.name, errors=errors)
        return
    for member in members:
        if "/" in member:
            errors.add(f"the file '{member}' in '{source.name}' has a path", "put the files at the top of the zip")
    errors.refuse()
    yield from _csv_files(members, source.name, errors, notes)


def members_of(data: bytes, *, name: str, errors: RowErrors) -> dict[str, bytes]:
    """The files in a zip, inflated.

    Raises Refused when the archive is too big, damaged, encrypted, or holds names that lead elsewhere. What is
    counted is what really inflates, not what the archive claims.
    """
    if len(data) > MOST_BYTES:
        errors.fail(f"'{name}' has {len(data):,} bytes", f"at most {megabytes(MOST_BYTES)} are taken")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            _check_names(infos, name, errors)
            errors.refuse()
            return _inflate(archive, [info for info in infos if not info.filename.endswith("/")], name, errors)
    except _DAMAGE as error:
        errors.fail(f"'{name}' is damaged or cut short ({error})", "save it again and send it whole")


def megabytes(count: int) -> str:
    return f"{count // 1_000_000} MB"


def _check_names(infos: list[zipfile.ZipInfo], name: str, errors: RowErrors) -> None:
    if len(infos) > MOST_MEMBERS:
        errors.add(f"'{name}' holds {len(infos)} files", f"at most {MOST_MEMBERS} are taken")
    seen: set[str] = set()
    for info in infos:
        # zipfile cuts a name at a NUL and mends separators; what counts is the name as written.
        written = info.orig_filename
        parts = written.replace("\\", "/").split("/")
        if written.startswith(("/", "\\")) or ".." in parts or "\\" in written or ":" in written or "\0" in written:
            wrong = f"the file '{written}' in '{name}' has a path that leads elsewhere"
            errors.add(wrong, "put the files into the archive by their names alone")
        if written.casefold() in seen:
            errors.add(f"the file '{written}' is in '{name}' twice", "keep one of them")
        seen.add(written.casefold())
        if info.flag_bits & _ENCRYPTED:
            errors.add(f"'{written}' in '{name}' is encrypted", "save it without a password")


def _inflate(archive: zipfile.ZipFile, infos: list[zipfile.ZipInfo], name: str, errors: RowErrors) -> dict[str, bytes]:
    inflated, total = {}, 0
    for info in infos:
        chunks = []
        with archive.open(info) as member:
            while chunk := member.read(_CHUNK):
                total += len(chunk)
                if total > MOST_INFLATED:
                    errors.fail(f"'{name}' inflates to more than {megabytes(MOST_INFLATED)}", "send less at once")
                chunks.append(chunk)
        inflated[info.filename] = b"".join(chunks)
    return inflated


def _csv_files(
    files: dict[str, Path] | dict[str, bytes], name: str, errors: RowErrors, notes: list[str]
) -> Iterator[RawSheet]:
    named = {file: _sheet_name(file) for file in files}
    passed_over = sorted(file for file, sheet in named.items() if sheet is None and not file.startswith("."))
    if passed_over:
        notes.append(f"passed over, since they are no .csv files: {', '.join(passed_over)}")
    if not any(named.values()):
        errors.fail(f"'{name}' holds no .csv file", RIGHT)
    for file, sheet in named.items():
        if sheet is not None:
            content = files[file]
            data = content if isinstance(content, bytes) else content.read_bytes()
            if (raw := _csv_sheet(sheet, data, errors)) is not None:
                yield raw


def _sheet_name(path: str) -> str | None:
    """The sheet that a file is, or None when it is no CSV file."""
    name = PurePath(path).name
    stem, dot, ending = name.rpartition(".")
    return stem if dot and ending.lower() == "csv" and stem and not name.startswith((".", "~")) else None


def _csv_sheet(name: str, data: bytes, errors: RowErrors) -> RawSheet | None:
    """A sheet out of the bytes of a file; None when it cannot be read at all (the errors say why).

    Rows are read as they are asked for; what is wrong with them is added to the errors then, and past the last line
    that is taken Refused is raised.
    """
    if data.startswith(_UTF_16):
        errors.add("the file is UTF-16", "save it as UTF-8", sheet=name)
        return None
    try:
        data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        errors.add(f"the byte {data[error.start]:#04x} is not UTF-8", "save the file as UTF-8", sheet=name, row=row)
        return None
    # Decoded once more as it is read: the whole text, kept beside its bytes, takes several times their room.
    reader = csv.reader(io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig", newline=""), strict=True)
    try:
        heads = next(reader, [])
    except csv.Error as error:
        errors.add(f"the heads cannot be read ({error})", "write them separated by commas", sheet=name, row=1)
        return None
    if len(heads) == 1 and (";" in heads[0] or "\t" in heads[0]):
        errors.add("the columns are not separated by commas", "save the file with commas", sheet=name, row=1)
        return None
    return RawSheet(name, heads, _csv_rows(name, heads, reader, errors))


def _csv_rows(
    name: str, heads: list[str], reader: Iterator[list[str]], errors: RowErrors
) -> Iterator[tuple[int, list[Cell]]]:
    number = 1
    while True:
        number += 1
        try:
            row = next(reader, None)
        except csv.Error as error:
            errors.add(f"the row cannot be read ({error})", "close every quotation mark", sheet=name, row=number)
            return
        if row is None:
            return
        if number > MOST_LINES:
            errors.fail(f"the file goes on past row {MOST_LINES:,}", "take the empty rows out", sheet=name, row=number)
        if not row:
            continue
        if len(row) != len(heads):
            right = "write a comma for every empty cell"
            if len(row) > len(heads):
                right = "take the cell too many out, or put the text that holds a comma in quotation marks"
            wrong = f"the row has {len(row)} cells, the heads are {len(heads)}"
            errors.add(wrong, right, sheet=name, row=number)
            continue
        yield number, list[Cell](row)
