"""A tolerance class is one that ISO 286 has; else the nearest that it has is named."""

import re
from collections.abc import Iterator

from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings
from fitment.engineering.errors import BadClass
from fitment.engineering.iso286_tables import GRADES
from fitment.engineering.tolerances import SHAFT_LETTERS, limits

CLASSES = (("components", "bore_class"), ("revisions", "outside_class"))
_PARTS = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([A-Za-z]{1,2})\s*(\d{1,2})\s*", re.ASCII)


def check_tolerance_classes(draft: Draft, findings: Findings, /) -> None:
    """Of new and changed components and revisions."""
    for sheet, column in CLASSES:
        get = draft.sheets[sheet].get
        for key, row in draft.touched_rows(sheet):
            written = get(row, column)
            try:
                if written:
                    limits(written)
            except BadClass as bad:
                near = nearest_class(written)
                wrong = f"'{written}' is not allowed: {bad}" + (f" (nearest: {near})" if near else "")
                draft.fault(findings.faults, sheet, key, column, wrong, "write a class of ISO 286, such as 62 N7")


def nearest_class(written: str) -> str | None:
    """The class of the standard nearest to one that it lacks: same size, holes for holes, nearest letter, then grade.

    >>> nearest_class("62 Q7")
    '62 P7'
    """
    match = _PARTS.fullmatch(written)
    if match is None:
        return None
    size, letters, grade = match[1], match[2], match[3]
    hole = letters[0].isupper()
    wanted = GRADES.index(grade) if grade in GRADES else len(GRADES)

    def far(letter: str, at: int) -> tuple[int, int, str]:
        return _apart(letter, letters.lower()), abs(at - wanted), letter

    found = sorted(
        (far(letter, at), f"{size} {letter.upper() if hole else letter}{GRADES[at]}")
        for letter in SHAFT_LETTERS
        for at in range(len(GRADES))
    )  # fmt: skip
    return next(_standing(name for _, name in found), None)


def _apart(one: str, other: str) -> int:
    """How far two sets of letters stand from each other in the alphabet."""
    return abs(_place(one) - _place(other))


def _place(letters: str) -> int:
    return ord(letters[0]) * 27 + (ord(letters[1]) - ord("a") + 1 if len(letters) > 1 else 0)


def _standing(names: Iterator[str]) -> Iterator[str]:
    for name in names:
        try:
            limits(name)
        except BadClass:
            continue
        yield name
