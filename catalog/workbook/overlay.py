"""The rows of a sheet as they would be: those that stand, under those that change.

Standing rows are read by key or by what a column holds, as they are asked for; whoever asks for many, or for all,
gets them read at once. So a small change of a great catalogue reads little.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Protocol

from catalog.sheets.sheet import Key, Row, Sheet

MOST_QUESTIONS = 20  # single look-ups before a sheet is read as a whole


class Standing(Protocol):
    """The rows of one sheet that stand now. `where` compares in the form in which keys compare."""

    @property
    def is_whole(self) -> bool: ...
    def get(self, key: Key) -> Row | None: ...
    def where(self, texts: Mapping[str, str]) -> dict[Key, Row]: ...
    def any(self, texts: Mapping[str, str]) -> bool: ...
    def all(self) -> dict[Key, Row]: ...


class Overlay(Mapping[Key, Row]):
    """Standing rows with changed ones in their place; `delta` has None for a row that goes."""

    def __init__(self, sheet: Sheet, standing: Standing, delta: dict[Key, Row | None] | None = None) -> None:
        self.sheet, self._standing, self._delta = sheet, standing, delta or {}
        self._whole: dict[Key, Row] | None = None
        self._by: dict[tuple[str, ...], dict[Key, list[Key]]] = {}
        self._questions = 0

    def whole(self) -> dict[Key, Row]:
        """All rows."""
        if self._whole is None:
            self._whole = {key: row for key, row in self._standing.all().items() if key not in self._delta}
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
        return self._delta[key] if key in self._delta else self._standing.get(key)

    def where(self, **texts: str) -> dict[Key, Row]:
        """The rows whose columns hold these texts."""
        self._questions += 1
        if self._whole is not None or self._standing.is_whole or self._questions > MOST_QUESTIONS:
            return self._looked_up(texts)
        found = {key: row for key, row in self._standing.where(texts).items() if key not in self._delta}
        found.update((key, row) for key, row in self._delta.items() if row is not None and self._holds(row, texts))
        return found

    def any(self, **texts: str) -> bool:
        """Whether some row's columns hold these texts."""
        if self._whole is not None or self._standing.is_whole or self._delta:
            return bool(self.where(**texts))
        return self._standing.any(texts)

    def _looked_up(self, texts: Mapping[str, str]) -> dict[Key, Row]:
        names, rows = tuple(texts), self.whole()
        if names not in self._by:
            by: dict[Key, list[Key]] = defaultdict(list)
            for key, row in rows.items():
                by[tuple(self._compared(row, name) for name in names)].append(key)
            self._by[names] = by
        return {key: rows[key] for key in self._by[names].get(tuple(texts.values()), ())}

    def _holds(self, row: Row, texts: Mapping[str, str]) -> bool:
        return all(self._compared(row, name) == text for name, text in texts.items())

    def _compared(self, row: Row, name: str) -> str:
        at = self.sheet.index[name]
        return self.sheet.columns[at].kind.compare(row[at])

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

    def items(self):  # type: ignore[no-untyped-def]
        return self.whole().items()

    def values(self):  # type: ignore[no-untyped-def]
        return self.whole().values()
