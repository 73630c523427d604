"""What a file holds before it has a meaning: heads, rows, and cells of a few kinds.

A cell is a text, a bool (a spreadsheet's TRUE and FALSE), a `DateCell`, or a `BadValue`.
"""

from collections.abc import Iterable
from dataclasses import dataclass

# At most this much (SI: a megabyte is a million bytes).
MOST_BYTES = 25_000_000
MOST_MEMBERS = 300
MOST_INFLATED = 250_000_000
MOST_ROWS = 1_000_000


class DateCell(str):
    """A date of a spreadsheet, written with the precision that its format shows."""


@dataclass(frozen=True, slots=True)
class BadValue:
    """A cell that says nothing usable, such as a formula or a spreadsheet's error."""

    wrong: str
    right: str


Cell = str | bool | BadValue


@dataclass(slots=True)
class RawSheet:
    """A sheet as the file has it; rows come with their number as a spreadsheet counts (the heads are row 1).

    A row may be shorter than the heads: spreadsheets leave out empty cells at the end.
    """

    name: str
    heads: list[str]
    rows: Iterable[tuple[int, list[Cell]]]


def column_letters(index: int) -> str:
    """The letters of a column, counted from 0.

    >>> column_letters(0), column_letters(27)
    ('A', 'AB')
    """
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def figure_text(number: float) -> str:
    """A spreadsheet's number as digits, to the fifteen places that it keeps.

    >>> figure_text(2209.0), figure_text(12.299999999999999), figure_text(0.000011)
    ('2209', '12.3', '0.000011')
    """
    text = f"{number:.15g}"
    if "e" in text:
        text = f"{number:.20f}".rstrip("0").rstrip(".") if abs(number) < 1 else f"{number:.0f}"
    return "0" if text == "-0" else text
