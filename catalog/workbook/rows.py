"""From cells to rows: heads known, every cell in its canonical text, every fault with its place."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from catalog.nearest import nearest_clause as nearest
from catalog.sheets.kinds import BadCell, canonical
from catalog.sheets.sheet import REMOVE, Column, Key, Sheet, Sheets
from catalog.workbook.cells import MOST_ROWS, BadValue, Cell, DateCell, RawSheet, column_letters
from catalog.workbook.faults import Faults, Findings

MOST_REMEMBERED = 20_000  # texts of a column kept with their canonical form


@dataclass(slots=True)
class FileRow:
    """A row of the file: its number, its key, its texts (None: the column is absent), whether it removes."""

    number: int
    key: Key
    values: tuple[str | None, ...]
    remove: bool = False


@dataclass(slots=True)
class FileSheet:
    """A sheet of the file: the columns it has, and its rows, one a key."""

    sheet: Sheet
    present: frozenset[str]
    rows: dict[Key, FileRow] = field(default_factory=dict)
    count: int = 0


class _Reader:
    """Reads the cells of one column, remembering what it has read."""

    def __init__(self, column: Column) -> None:
        self.column = column
        self.known: dict[str, str] = {"": ""}

    def read(self, cell: Cell) -> str:
        """The canonical text of a cell; raises BadCell."""
        if type(cell) is str:
            known = self.known.get(cell)
            if known is None:
                known = canonical(self.column.kind, cell)
                if len(self.known) < MOST_REMEMBERED:
                    self.known[cell] = known
            return known
        if isinstance(cell, BadValue):
            raise BadCell(cell.wrong, cell.right)
        if isinstance(cell, bool):
            takes = self.column.kind.takes_booleans
            return ("yes" if cell else "no") if takes else canonical(self.column.kind, "TRUE" if cell else "FALSE")
        if isinstance(cell, DateCell) and not self.column.kind.takes_dates:
            raise BadCell("the cell holds a date", "format the cell as text and write what is meant")
        return canonical(self.column.kind, str(cell))


def read_sheets(raws: Iterable[RawSheet], sheets: Sheets, findings: Findings) -> dict[str, FileSheet]:
    """The rows of every known sheet; unknown and repeated sheets, and too many rows, become faults."""
    faults = findings.faults
    read: dict[str, FileSheet] = {}
    total = 0
    for raw in raws:
        if raw.name not in sheets:
            faults.add(
                raw.name,
                None,
                None,
                f"there is no sheet '{raw.name}'{nearest(raw.name, sheets.names())}",
                "name it as in the list of sheets, or leave it out",
            )
            continue
        if raw.name in read:
            faults.add(raw.name, None, None, "the sheet comes twice", "keep one of them")
            continue
        found = read_sheet(raw, sheets[raw.name], faults, left=MOST_ROWS - total)
        if found is None:
            findings.unread.add(raw.name)
            continue
        read[raw.name] = found
        total += found.count
    return read


def read_sheet(
    raw: RawSheet, sheet: Sheet, faults: Faults, *, left: int = MOST_ROWS, groups: bool = True
) -> FileSheet | None:
    """The rows of one sheet, at most `left` of them; None when its heads cannot be used.

    With `groups` a sheet whose groups are replaced needs all its columns, else only those of the key that are
    never empty.

    Raises Refused past the limit of rows.
    """
    heads = _heads(raw, sheet, faults, groups=groups)
    if heads is None:
        return None
    at = {name: index for index, name in heads.items()}
    readers = [
        (at[column.name], _Reader(column), position)
        for position, column in enumerate(sheet.columns)
        if column.name in at
    ]
    loose = [index for index, head in enumerate(raw.heads) if not str(head).strip()]
    found = FileSheet(sheet, frozenset(at))
    for number, cells in raw.rows:
        if not any(cell != "" and not (isinstance(cell, str) and cell.isspace()) for cell in cells):
            continue
        found.count += 1
        if found.count > left:
            faults.add(raw.name, number, None, f"the workbook has more than {MOST_ROWS:,} rows", "send less at once")
            faults.refuse()
        if len(cells) > len(raw.heads) or any(index < len(cells) and cells[index] != "" for index in loose):
            _name_headless(raw, number, cells, loose, faults)
            cells = cells[: len(raw.heads)]
        cells.extend([""] * (len(raw.heads) - len(cells)))
        row = _row(sheet, number, cells, readers, at, faults)
        if row is None:
            continue
        if (other := found.rows.get(row.key)) is not None:
            names = ", ".join(sheet.columns[index].name for index in sheet.key_at)
            faults.add(
                sheet.name,
                number,
                sheet.columns[sheet.key_at[0]].name,
                f"the key stands already in row {other.number} ({names})",
                "keep one of the two rows",
            )
            continue
        found.rows[row.key] = row
    return found


def _heads(raw: RawSheet, sheet: Sheet, faults: Faults, *, groups: bool) -> dict[int, str] | None:
    """Index -> column name of the known heads; None when the sheet cannot be read by them."""
    known = [*sheet.index, REMOVE]
    heads: dict[int, str] = {}
    usable = True
    for index, head in enumerate(raw.heads):
        name = str(head).strip()
        if not name:
            continue
        if name not in known:
            faults.add(
                raw.name,
                1,
                name,
                f"there is no column '{name}'{nearest(name, known)}",
                "name it as in the list of columns, or leave it out",
            )
        elif name in heads.values():
            faults.add(raw.name, 1, name, f"the column '{name}' comes twice", "keep one of them")
            usable = False
        else:
            heads[index] = name
    whole = bool(sheet.group) and groups
    needed = [column.name for column in sheet.columns if whole or (column.key and (groups or column.required))]
    for name in needed:
        if name not in heads.values():
            why = "the sheet replaces whole groups and needs all its columns" if whole else "it is part of the key"
            faults.add(raw.name, 1, name, f"the column '{name}' is missing", why)
            usable = False
    return heads if usable else None


def _name_headless(raw: RawSheet, number: int, cells: list[Cell], loose: list[int], faults: Faults) -> None:
    for index in [*loose, *range(len(raw.heads), len(cells))]:
        if index < len(cells) and cells[index] != "":
            faults.add(
                raw.name,
                number,
                column_letters(index),
                "a cell stands under no head",
                "give the column a head, or clear the cell",
            )


def _row(
    sheet: Sheet,
    number: int,
    cells: list[Cell],
    readers: list[tuple[int, _Reader, int]],
    at: dict[str, int],
    faults: Faults,
) -> FileRow | None:
    values: list[str | None] = [None] * len(sheet.columns)
    remove = _removes(sheet, number, cells, at, faults)
    sound_key = True
    for index, reader, position in readers:
        column = reader.column
        if remove and not column.key:
            values[position] = ""
            continue
        try:
            text = column.filled(reader.read(cells[index]))
        except BadCell as bad:
            faults.add(sheet.name, number, column.name, bad.wrong, bad.right)
            text = column.default
            sound_key = sound_key and not column.key
        values[position] = text
    if not sound_key:
        return None
    key = tuple(sheet.columns[index].kind.compare(values[index] or "") for index in sheet.key_at)
    return FileRow(number, key, tuple(values), remove)


def _removes(sheet: Sheet, number: int, cells: list[Cell], at: dict[str, int], faults: Faults) -> bool:
    if REMOVE not in at:
        return False
    cell = cells[at[REMOVE]]
    if isinstance(cell, bool):
        return cell
    text = str(cell).strip() if isinstance(cell, str) else "?"
    if text not in ("", "yes", "no"):
        faults.add(sheet.name, number, REMOVE, f"'{text}' is neither yes nor no", "write yes to remove the row")
    return text == "yes"
