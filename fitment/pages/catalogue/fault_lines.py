"""What is wrong with a workbook, grouped as one goes through it: sheet by sheet, row by row. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any


@dataclass(frozen=True, slots=True)
class FaultLine:
    row: int | None
    column: str
    wrong: str
    right: str


@dataclass(frozen=True, slots=True)
class SheetFaults:
    """The faults of one sheet; without a name: of the workbook as a whole."""

    sheet: str
    lines: list[FaultLine]


def in_order(faults: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The faults by sheet, in each by row and column."""
    return sorted(faults, key=lambda fault: (fault["sheet"], fault["row"] or 0, fault["column"] or ""))


def by_sheet(faults: Iterable[Mapping[str, Any]]) -> list[SheetFaults]:
    """The faults, in order, sheet by sheet."""
    return [
        SheetFaults(
            sheet,
            [
                FaultLine(one["row"], one["column"] or "", _sentence(one["wrong"]), _sentence(one["right"]))
                for one in of
            ],
        )
        for sheet, of in groupby(in_order(faults), key=lambda fault: fault["sheet"])
    ]


def _sentence(text: str) -> str:
    """
    >>> _sentence("the sheet is missing")
    'The sheet is missing'
    """
    return text[:1].upper() + text[1:]
