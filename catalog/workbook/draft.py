"""The catalogue as it would be: the rows of the file merged with those kept."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from catalog.sheets.sheet import Key, Row, Sheet, Sheets, key_text
from catalog.workbook.faults import Faults
from catalog.workbook.overlay import MOST_QUESTIONS, Overlay, Standing
from catalog.workbook.rows import FileRow, FileSheet


@dataclass(slots=True)
class RowChange:
    """What becomes of one row: `before` None when it is added, `after` None when it is removed."""

    key: Key
    before: Row | None
    after: Row | None


@dataclass(slots=True)
class SheetChanges:
    """What becomes of the rows of one sheet."""

    added: list[RowChange] = field(default_factory=list)
    changed: list[RowChange] = field(default_factory=list)
    removed: list[RowChange] = field(default_factory=list)
    unchanged: int = 0

    def __iter__(self) -> Iterator[RowChange]:
        yield from self.added
        yield from self.changed
        yield from self.removed

    def __bool__(self) -> bool:
        return bool(self.added or self.changed or self.removed)

    def counts(self) -> dict[str, int]:
        return {
            "added": len(self.added), "changed": len(self.changed), "unchanged": self.unchanged,
            "removed": len(self.removed),
        }  # fmt: skip


class Draft:
    """Sheets as they would be after the load; `standing` gives the rows of a sheet that stand now."""

    def __init__(self, sheets: Sheets, standing: Callable[[str], Standing]) -> None:
        self.sheets = sheets
        self._standing = standing
        self._now: dict[str, Overlay] = {}
        self._then: dict[str, Overlay] = {}
        self._file: dict[str, dict[Key, int]] = {}
        self.changes: dict[str, SheetChanges] = {}

    def now(self, name: str) -> Overlay:
        """The rows that stand now."""
        if name not in self._now:
            self._now[name] = Overlay(self.sheets[name], self._standing(name))
        return self._now[name]

    def rows(self, name: str) -> Overlay:
        """The rows as they would be."""
        then = self._then.get(name)
        return self.now(name) if then is None else then

    def row_number(self, name: str, key: Key) -> int | None:
        """The row of the file that a row comes from, None for a kept one."""
        return self._file.get(name, {}).get(key)

    def is_touched(self, name: str) -> bool:
        return bool(self.changes.get(name))

    def touched_rows(self, name: str) -> list[tuple[Key, Row]]:
        """The rows that are new or changed."""
        changes = self.changes.get(name)
        if changes is None:
            return []
        return [(change.key, change.after) for change in (*changes.added, *changes.changed) if change.after is not None]

    def has_lost(self, name: str) -> bool:
        """Whether a row of a sheet goes away."""
        changes = self.changes.get(name)
        return changes is not None and bool(changes.removed)

    def fault(self, faults: Faults, sheet: str, key: Key, column: str | None, wrong: str, right: str = "") -> None:
        """A fault at a row: where the file has it, else by its key."""
        number = self.row_number(sheet, key)
        if number is None:
            wrong = f"kept row {key_text(key)}: {wrong}"
        faults.add(sheet, number, column, wrong, right)

    def put(self, name: str, file: dict[Key, int], delta: dict[Key, Row | None], changes: SheetChanges) -> None:
        """The outcome of merging one sheet."""
        self._file[name], self.changes[name] = file, changes
        self._then[name] = Overlay(self.sheets[name], self._standing(name), delta)

    def complete_row(self, name: str, key: Key, row: Row) -> None:
        """Puts a row with a column filled in for the one of the draft; it may then be the one that stands."""
        changes = self.changes[name]
        for held in (changes.added, changes.changed):
            for at, change in enumerate(held):
                if change.key != key:
                    continue
                if change.before is not None and self.sheets[name].same(change.before, row):
                    del held[at]
                    changes.unchanged += 1
                else:
                    held[at] = RowChange(key, change.before, row)
                self._then[name].put(key, row)
                return


def merge(draft: Draft, file: FileSheet, *, replace: bool, groups: bool, faults: Faults) -> None:
    """Merges a sheet of the file into the draft.

    Rows add or change by key. With `groups` a group that is named is replaced as a whole in the sheets that work so;
    with `replace` the file is the whole sheet.
    """
    sheet, now = file.sheet, draft.now(file.sheet.name)
    if replace or len(file.rows) > MOST_QUESTIONS:
        now.whole()
    there = _groups_there(file, now) if sheet.group and groups else {}
    gone = dict(now.whole()) if replace else {key: row for rows in there.values() for key, row in rows.items()}
    changes, delta = SheetChanges(), dict[Key, Row | None]()
    for row in file.rows.values():
        before = now.find(row.key)
        if row.remove:
            if before is not None:
                gone[row.key] = before
            elif not replace and not there.get(_group(sheet, row)):
                faults.add(
                    sheet.name,
                    row.number,
                    "remove",
                    f"there is no row {key_text(row.key)} to remove",
                    "name the key of a row that stands, or leave the row out",
                )
            continue
        gone.pop(row.key, None)
        after = _merged(sheet, row, before, faults)
        if before is not None and sheet.same(before, after):
            changes.unchanged += 1
            continue
        delta[row.key] = after
        (changes.added if before is None else changes.changed).append(RowChange(row.key, before, after))
    changes.removed.extend(RowChange(key, row, None) for key, row in gone.items())
    delta.update(dict.fromkeys(gone))
    draft.put(sheet.name, {row.key: row.number for row in file.rows.values()}, delta, changes)


def _group(sheet: Sheet, row: FileRow) -> Key:
    return tuple(sheet.columns[at].kind.compare(row.values[at] or "") for at in sheet.group_at)


def _groups_there(file: FileSheet, now: Overlay) -> dict[Key, dict[Key, Row]]:
    """The rows that stand of every group that the file names."""
    named = {_group(file.sheet, row) for row in file.rows.values()}
    return {group: now.where(**dict(zip(file.sheet.group, group, strict=True))) for group in named}


def _merged(sheet: Sheet, row: FileRow, before: Row | None, faults: Faults) -> Row:
    """The row as it would be; a column that is absent keeps its text, or stands for its default."""
    if None not in row.values:
        return row.values  # type: ignore[return-value]
    texts = []
    for at, (column, value) in enumerate(zip(sheet.columns, row.values, strict=True)):
        if value is None and before is None and column.required:
            faults.add(
                sheet.name,
                row.number,
                column.name,
                "a new row needs the column, and it is absent",
                "add the column and fill it",
            )
        texts.append(value if value is not None else before[at] if before is not None else column.default)
    return tuple(texts)
