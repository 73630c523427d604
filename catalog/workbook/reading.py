"""A workbook from wherever it lies: a spreadsheet, a folder of CSV files, or a zip of them."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from catalog.workbook.archives import members_of
from catalog.workbook.cells import RawSheet
from catalog.workbook.csv_reading import csv_sheet, sheet_name_of
from catalog.workbook.faults import Fault, Faults
from catalog.workbook.xlsx_reading import is_spreadsheet, spreadsheet_sheets

_ZIP = b"PK"
_OLD_OFFICE = b"\xd0\xcf\x11\xe0"
RIGHT = "give an .xlsx file, or a folder or zip of .csv files"


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


def no_workbook(name: str, data: bytes) -> Fault | None:
    """What is wrong with a file that is no workbook at its first glance."""
    if data.startswith(_OLD_OFFICE):
        return Fault(
            "", None, None, f"'{name}' is an old or encrypted spreadsheet", "save it as .xlsx, without a password"
        )
    if not data.startswith(_ZIP):
        return Fault("", None, None, f"'{name}' is {'neither a spreadsheet nor a zip' if data else 'empty'}", RIGHT)
    return None


def raw_sheets(source: Source, faults: Faults, notes: list[str]) -> Iterator[RawSheet]:
    """The sheets of a workbook, as the file has them.

    Raises Refused when the file as a whole cannot be taken; what is wrong with single sheets is added to the faults.
    """
    if source.folder is not None:
        files = sorted(path for path in source.folder.iterdir() if path.is_file())
        yield from _csv_files({path.name: path for path in files}, source.name, faults, notes)
        return
    wrong = no_workbook(source.name, source.data)
    if wrong is not None:
        faults.add(wrong.sheet, wrong.row, wrong.column, wrong.wrong, wrong.right)
        faults.refuse()
    members = members_of(source.data, name=source.name, faults=faults)
    if is_spreadsheet(members):
        yield from spreadsheet_sheets(members, name=source.name, faults=faults)
        return
    for member in members:
        if "/" in member:
            faults.add(
                "",
                None,
                None,
                f"the file '{member}' in '{source.name}' has a path",
                "put the files at the top of the zip",
            )
    faults.refuse()
    yield from _csv_files(members, source.name, faults, notes)


def _csv_files(
    files: dict[str, Path] | dict[str, bytes], name: str, faults: Faults, notes: list[str]
) -> Iterator[RawSheet]:
    named = {file: sheet_name_of(file) for file in files}
    passed_over = sorted(file for file, sheet in named.items() if sheet is None and not file.startswith("."))
    if passed_over:
        notes.append(f"passed over, since they are no .csv files: {', '.join(passed_over)}")
    if not any(named.values()):
        faults.add("", None, None, f"'{name}' holds no .csv file", RIGHT)
        faults.refuse()
    for file, sheet in named.items():
        if sheet is not None:
            content = files[file]
            data = content if isinstance(content, bytes) else content.read_bytes()
            if (raw := csv_sheet(sheet, data, faults)) is not None:
                yield raw
