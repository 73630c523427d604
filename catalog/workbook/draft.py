"""The catalogue as it would be: the rows of the file merged with those that are stored."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from catalog.codes import ChangeAction
from catalog.sheets.sheet import Key, Row, Sheet, key_text
from catalog.workbook.draft_rows import DraftRows
from catalog.workbook.errors import Findings, RowErrors
from catalog.workbook.rows import FileRow, FileSheet
from catalog.workbook.storage import MOST_LOOKUPS, Stored


@dataclass(slots=True)
class RowChange:
    """What becomes of one row: `before` None when it is added, `after` None when it is removed."""

    key: Key
    before: Row | None
    after: Row | None

    @property
    def action(self) -> ChangeAction:
        if self.before is None:
            return ChangeAction.ADDED
        return ChangeAction.REMOVED if self.after is None else ChangeAction.CHANGED


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
            "added": len(self.added),
            "changed": len(self.changed),
            "unchanged": self.unchanged,
            "removed": len(self.removed),
        }


class Draft:
    """Sheets as they would be after the load, and what is found amiss with them."""

    def __init__(self, stored: Stored, findings: Findings) -> None:
        self.stored, self.sheets, self.findings = stored, stored.sheets, findings
        self._now: dict[str, DraftRows] = {}
        self._then: dict[str, DraftRows] = {}
        self._row_numbers: dict[str, dict[Key, int]] = {}
        self.changes: dict[str, SheetChanges] = {}

    def now(self, name: str) -> DraftRows:
        """The rows of a sheet that stand now."""
        if name not in self._now:
            self._now[name] = DraftRows(self.sheets[name], self.stored.rows(name))
        return self._now[name]

    def rows(self, name: str) -> DraftRows:
        """The rows of a sheet as they would be."""
        then = self._then.get(name)
        return self.now(name) if then is None else then

    def is_changed(self, name: str) -> bool:
        return bool(self.changes.get(name))

    def changed_rows(self, name: str) -> list[tuple[Key, Row]]:
        """The rows that are new or changed."""
        changes = self.changes.get(name, SheetChanges())
        return [(change.key, change.after) for change in (*changes.added, *changes.changed) if change.after is not None]

    def has_removed(self, name: str) -> bool:
        """Whether a row of a sheet goes away."""
        return bool(self.changes.get(name, SheetChanges()).removed)

    def in_file_order(self, name: str, keys: Iterable[Key]) -> list[Key]:
        """Keys of a sheet, those that are stored first: what stands longest is taken as right."""
        return sorted(keys, key=lambda key: (self.row_number(name, key), key))

    def row_number(self, name: str, key: Key) -> int:
        """The row of the file that a row comes from, 0 for one that is only stored."""
        return self._row_numbers.get(name, {}).get(key, 0)

    def error(self, sheet: str, key: Key, column: str, wrong: str, right: str) -> None:
        """What refuses the load, at a row: where the file has it, else by its key."""
        self._add(self.findings.errors, sheet, key, column, wrong, right)

    def warn(self, sheet: str, key: Key, column: str, wrong: str, right: str) -> None:
        """What is shown and does not refuse the load."""
        self._add(self.findings.warnings, sheet, key, column, wrong, right)

    def _add(self, to: RowErrors, sheet: str, key: Key, column: str, wrong: str, right: str) -> None:
        number = self.row_number(sheet, key)
        where = "" if number else f"kept row {key_text(key)}: "
        to.add(where + wrong, right, sheet=sheet, row=number or None, column=column)

    def near(self, text: str, known: Iterable[str]) -> str:
        """A clause that names the nearest known word."""
        return self.findings.errors.near(text, known)

    def put(self, name: str, row_numbers: dict[Key, int], delta: dict[Key, Row | None], changes: SheetChanges) -> None:
        """The outcome of merging one sheet."""
        self._row_numbers[name], self.changes[name] = row_numbers, changes
        self._then[name] = DraftRows(self.sheets[name], self.stored.rows(name), delta)

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


def merge(draft: Draft, file: FileSheet, *, replace: bool, groups: bool) -> None:
    """Merges a sheet of the file into the draft.

    Rows add or change by key. With `groups` a group that is named is replaced as a whole in the sheets that work so;
    with `replace` the file is the whole sheet.
    """
    sheet, now, errors = file.sheet, draft.now(file.sheet.name), draft.findings.errors
    if replace or len(file.rows) > MOST_LOOKUPS:
        now.whole()
    stored = _stored_groups(file, now) if sheet.group and groups else {}
    gone = dict(now.whole()) if replace else {key: row for rows in stored.values() for key, row in rows.items()}
    changes, delta = SheetChanges(), dict[Key, Row | None]()
    for row in file.rows.values():
        before = now.find(row.key)
        if row.remove:
            if before is not None:
                gone[row.key] = before
            elif not replace and not stored.get(_group(sheet, row)):
                wrong = f"there is no row {key_text(row.key)} to remove"
                right = "name the key of a row that stands, or leave the row out"
                errors.add(wrong, right, sheet=sheet.name, row=row.number, column="remove")
            continue
        gone.pop(row.key, None)
        after = _merged(sheet, row, before, errors)
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


def _stored_groups(file: FileSheet, now: DraftRows) -> dict[Key, dict[Key, Row]]:
    """The rows that stand of every group that the file names."""
    named = {_group(file.sheet, row) for row in file.rows.values()}
    return {group: now.where(**dict(zip(file.sheet.group, group, strict=True))) for group in named}


def _merged(sheet: Sheet, row: FileRow, before: Row | None, errors: RowErrors) -> Row:
    """The row as it would be; a column that is absent keeps its text, or stands for its default."""
    if None not in row.values:
        return row.values  # type: ignore[return-value]
    texts = []
    for at, (column, value) in enumerate(zip(sheet.columns, row.values, strict=True)):
        if value is None and before is None and column.required:
            wrong, right = "a new row needs the column, and it is absent", "add the column and fill it"
            errors.add(wrong, right, sheet=sheet.name, row=row.number, column=column.name)
        texts.append(value if value is not None else before[at] if before is not None else column.default)
    return tuple(texts)
