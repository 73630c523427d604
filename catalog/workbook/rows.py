"""From cells to rows: heads known, every cell in its canonical text, every error with its place."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from catalog.nearest import nearest_clause as nearest
from catalog.sheets.kinds import BadCell, canonical
from catalog.sheets.sheet import REMOVE, Column, Key, Sheet, Sheets
from catalog.workbook.cells import MOST_ROWS, BadValue, Cell, DateCell, RawSheet, column_letters
from catalog.workbook.errors import Findings, RowErrors

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
    """The rows of every known sheet; unknown and repeated sheets, and too many rows, become errors."""
    errors = findings.errors
    read: dict[str, FileSheet] = {}
    total = 0
    for raw in raws:
        if raw.name not in sheets:
            wrong = f"there is no sheet '{raw.name}'{nearest(raw.name, sheets.names())}"
            errors.add(wrong, "name it as in the list of sheets, or leave it out", sheet=raw.name)
        elif raw.name in read:
            errors.add("the sheet comes twice", "keep one of them", sheet=raw.name)
        elif (found := read_sheet(raw, sheets[raw.name], errors, left=MOST_ROWS - total)) is None:
            findings.unread.add(raw.name)
        else:
            read[raw.name] = found
            total += found.count
    return read


def read_sheet(
    raw: RawSheet, sheet: Sheet, errors: RowErrors, *, left: int = MOST_ROWS, groups: bool = True
) -> FileSheet | None:
    """The rows of one sheet, at most `left` of them; None when its heads cannot be used.

    With `groups` a sheet whose groups are replaced needs all its columns, else only those of the key that are
    never empty.

    Raises Refused past the limit of rows.
    """
    at = _heads(raw, sheet, errors, groups=groups)
    if at is None:
        return None
    readers = [
        (at[column.name], _Reader(column), position)
        for position, column in enumerate(sheet.columns)
        if column.name in at
    ]
    loose = [index for index, head in enumerate(raw.heads) if not str(head).strip()]
    found, width = FileSheet(sheet, frozenset(at)), len(raw.heads)
    for number, cells in raw.rows:
        if not any(cell != "" and not (isinstance(cell, str) and cell.isspace()) for cell in cells):
            continue
        found.count += 1
        if found.count > left:
            wrong = f"the workbook has more than {MOST_ROWS:,} rows"
            errors.fail(wrong, "send less at once", sheet=raw.name, row=number)
        if loose or len(cells) > width:
            for index in (*loose, *range(width, len(cells))):
                if index < len(cells) and cells[index] != "":
                    letters, right = column_letters(index), "give the column a head, or clear the cell"
                    errors.add("a cell stands under no head", right, sheet=raw.name, row=number, column=letters)
            cells = cells[:width]
        cells.extend([""] * (width - len(cells)))
        row = _row(sheet, number, cells, readers, at, errors)
        if row is None:
            continue
        if (other := found.rows.get(row.key)) is not None:
            names = ", ".join(sheet.columns[index].name for index in sheet.key_at)
            wrong = f"the key stands already in row {other.number} ({names})"
            first = sheet.columns[sheet.key_at[0]].name
            errors.add(wrong, "keep one of the two rows", sheet=sheet.name, row=number, column=first)
            continue
        found.rows[row.key] = row
    return found


def _heads(raw: RawSheet, sheet: Sheet, errors: RowErrors, *, groups: bool) -> dict[str, int] | None:
    """Column name -> index of the known heads; None when the sheet cannot be read by them."""
    known = [*sheet.index, REMOVE]
    at: dict[str, int] = {}
    usable = True
    for index, head in enumerate(raw.heads):
        name = str(head).strip()
        if name and name not in known:
            wrong = f"there is no column '{name}'{nearest(name, known)}"
            right = "name it as in the list of columns, or leave it out"
            errors.add(wrong, right, sheet=raw.name, row=1, column=name)
        elif name in at:
            wrong = f"the column '{name}' comes twice"
            errors.add(wrong, "keep one of them", sheet=raw.name, row=1, column=name)
            usable = False
        elif name:
            at[name] = index
    whole = bool(sheet.group) and groups
    for column in sheet.columns:
        if (whole or (column.key and (groups or column.required))) and column.name not in at:
            why = "the sheet replaces whole groups and needs all its columns" if whole else "it is part of the key"
            wrong = f"the column '{column.name}' is missing"
            errors.add(wrong, why, sheet=raw.name, row=1, column=column.name)
            usable = False
    return at if usable else None


def _row(
    sheet: Sheet,
    number: int,
    cells: list[Cell],
    readers: list[tuple[int, _Reader, int]],
    at: dict[str, int],
    errors: RowErrors,
) -> FileRow | None:
    values: list[str | None] = [None] * len(sheet.columns)
    remove = REMOVE in at and _removes(sheet, number, cells[at[REMOVE]], errors)
    sound_key = True
    for index, reader, position in readers:
        column = reader.column
        if remove and not column.key:
            values[position] = ""
            continue
        try:
            text = column.filled(reader.read(cells[index]))
        except BadCell as bad:
            errors.add(bad.wrong, bad.right, sheet=sheet.name, row=number, column=column.name)
            text = column.default
            sound_key = sound_key and not column.key
        values[position] = text
    if not sound_key:
        return None
    key = tuple(sheet.columns[index].kind.compare(values[index] or "") for index in sheet.key_at)
    return FileRow(number, key, tuple(values), remove)


def _removes(sheet: Sheet, number: int, cell: Cell, errors: RowErrors) -> bool:
    if isinstance(cell, bool):
        return cell
    text = str(cell).strip() if isinstance(cell, str) else "?"
    if text not in ("", "yes", "no"):
        wrong = f"'{text}' is neither yes nor no"
        errors.add(wrong, "write yes to remove the row", sheet=sheet.name, row=number, column=REMOVE)
    return text == "yes"
