"""Rows that changed, column by column. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass

from fitment.pages.shared.addresses import address

Cells = Mapping[str, str] | None


@dataclass(frozen=True, slots=True)
class RowLine:
    """A row that was added, changed or removed; `columns` of name, text before, text after.

    Of a row added or removed every filled column stands there.
    """

    sheet: str
    key: str
    action: str
    columns: list[tuple[str, str, str]]
    history: str


def row_line(sheet: str, key: str, before: Cells, after: Cells) -> RowLine:
    """What became of one row.

    >>> row_line("makers", "ALVA", {"maker": "ALVA", "title": "A"}, {"maker": "ALVA", "title": "B"}).columns
    [('title', 'A', 'B')]
    """
    action = "added" if before is None else "removed" if after is None else "changed"
    was, becomes = before or {}, after or {}
    columns = [
        (name, was.get(name, ""), becomes.get(name, ""))
        for name in dict.fromkeys((*was, *becomes))
        if was.get(name, "") != becomes.get(name, "")
    ]
    return RowLine(sheet, key, action, columns, history_address(sheet, key))


def history_address(sheet: str, key: str) -> str:
    return address(f"/catalogue/row/{sheet}/", {"key": [key]})
