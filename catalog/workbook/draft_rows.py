"""The rows of a sheet as they would be: those that are stored, under those that change.

Stored rows are read by key or by what a column holds, as they are asked for; whoever asks for many, or for all,
gets them read at once. So a small change of a great catalogue reads little.
"""

from collections import defaultdict
from collections.abc import ItemsView, Iterator, Mapping, ValuesView

from catalog.sheets.sheet import Key, Row, Sheet
from catalog.workbook.storage import MOST_LOOKUPS, StoredRows


class DraftRows(Mapping[Key, Row]):
    """Stored rows with changed ones in their place; `delta` has None for a row that goes."""

    def __init__(self, sheet: Sheet, stored: StoredRows, delta: dict[Key, Row | None] | None = None) -> None:
        self.sheet, self._stored, self._delta = sheet, stored, delta or {}
        self._whole: dict[Key, Row] | None = None
        self._by: dict[tuple[str, ...], dict[Key, list[Key]]] = {}
        self._lookups = 0

    def whole(self) -> dict[Key, Row]:
        """All rows."""
        if self._whole is None:
            self._whole = {key: row for key, row in self._stored.all().items() if key not in self._delta}
            self._whole.update((key, row) for key, row in self._delta.items() if row is not None)
        return self._whole

    def put(self, key: Key, row: Row) -> None:
        self._delta[key] = row
        self._by.clear()
        if self._whole is not None:
            self._whole[key] = row

    def find(self, key: Key) -> Row | None:
        """The row with a key, or None."""
        if self._whole is not None:
            return self._whole.get(key)
        return self._delta[key] if key in self._delta else self._stored.get(key)

    def where(self, **texts: str) -> dict[Key, Row]:
        """The rows whose columns hold these texts, in the form in which keys compare."""
        self._lookups += 1
        if self._whole is not None or self._stored.is_whole or self._lookups > MOST_LOOKUPS:
            return self._by_index(texts)
        found = {key: row for key, row in self._stored.where(texts).items() if key not in self._delta}
        found.update((key, row) for key, row in self._delta.items() if row is not None and self.sheet.holds(row, texts))
        return found

    def any(self, **texts: str) -> bool:
        """Whether some row's columns hold these texts."""
        if self._whole is not None or self._stored.is_whole or self._delta:
            return bool(self.where(**texts))
        return self._stored.any(texts)

    def _by_index(self, texts: Mapping[str, str]) -> dict[Key, Row]:
        names, rows = tuple(texts), self.whole()
        if names not in self._by:
            by: dict[Key, list[Key]] = defaultdict(list)
            for key, row in rows.items():
                by[tuple(self.sheet.compared(row, name) for name in names)].append(key)
            self._by[names] = by
        return {key: rows[key] for key in self._by[names].get(tuple(texts.values()), ())}

    def __getitem__(self, key: Key) -> Row:
        row = self.find(key)
        if row is None:
            raise KeyError(key)
        return row

    def __contains__(self, key: object) -> bool:
        return self.find(key) is not None  # type: ignore[arg-type]

    def __iter__(self) -> Iterator[Key]:
        return iter(self.whole())

    def __len__(self) -> int:
        return len(self.whole())

    # A mapping's own views look each row up again.
    def items(self) -> ItemsView[Key, Row]:
        return self.whole().items()

    def values(self) -> ValuesView[Row]:
        return self.whole().values()
