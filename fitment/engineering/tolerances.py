"""Sizes as they are written: ISO 286 tolerance classes (``62 N7``) to limits in millimetres, tapers (``1:10``)."""

import re
from bisect import bisect_left
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from operator import attrgetter

from fitment.answers.contract import As
from fitment.engineering import iso286_tables as tables
from fitment.engineering.errors import BadClass, BadTaper

_WRITTEN = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([A-Za-z]{1,2})\s*(\d{1,2})\s*", re.ASCII)
SHAFT_LETTERS = (
    tables.UPPER_BY_SUB_STEP.keys()
    | tables.UPPER_BY_STEP.keys()
    | tables.LOWER_BY_STEP.keys()
    | tables.LOWER_BY_SUB_STEP.keys()
    | {"j", "js"}
)
_TAPER = re.compile(r"\s*(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)\s*", re.ASCII)
_MICROMETRES = 1000


@dataclass(frozen=True)
class Interval:
    """Both limits of a size, low to high, in mm; both belong to it."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """Half way between the limits, in mm."""
        return (self.low + self.high) / 2

    @property
    def width(self) -> float:
        """High less low, in mm."""
        return self.high - self.low

    def minus(self, other: "Interval") -> "Interval":
        """Least and greatest difference of two sizes in mm, in the worst case of their limits."""
        return Interval(self.low - other.high, self.high - other.low)

    def __contains__(self, size: float) -> bool:
        """Whether a size in mm lies within; both ends do."""
        return self.low <= size <= self.high


PAIR = As(attrgetter("low", "high"), tuple[float, float])
"""How an interval leaves: its two limits, the lower first."""


def standard_tolerance(size_mm: Decimal | float, grade: str) -> Fraction:
    """Width of a tolerance grade at a nominal size.

    Args:
        size_mm: nominal size in mm, above 0 and up to 500
        grade: ``"01"``, ``"0"``, ``"1"`` ... ``"18"``
    Returns: the width in micrometres, exact
    Raises: BadClass: when the size or the grade is outside the table
    Notes: A size equal to the upper end of a step belongs to that step. ComponentSizes over 500 mm are not covered.
    References: ISO 286-1:2010, Table 1 (from memory).

    >>> standard_tolerance(62, "7")
    Fraction(30, 1)
    >>> standard_tolerance(50, "7"), standard_tolerance(50.01, "7")
    (Fraction(25, 1), Fraction(30, 1))
    """
    if grade not in tables.GRADES:
        raise BadClass(f"there is no grade IT{grade}; grades are 01, 0 and 1 to 18")
    row = tables.STANDARD_TOLERANCES[_step(size_mm, tables.STEPS)]
    return Fraction(row[tables.GRADES.index(grade)])


def deviations(size_mm: Decimal | float, letters: str, grade: str) -> tuple[Fraction, Fraction]:
    """Upper and lower deviation of a tolerance class from its nominal size.

    Args:
        size_mm: nominal size in mm, above 0 and up to 500
        letters: fundamental deviation, capitals for a hole (``N``), small for a shaft (``h``, ``js``)
        grade: ``"01"``, ``"0"``, ``"1"`` ... ``"18"``
    Returns: upper and lower deviation in micrometres, exact
    Raises: BadClass: letters not used by the standard, or a class that it does not give for this size
    Notes: Holes K, M, N up to IT8 and P to ZC up to IT7 are shifted by delta = IT(n) - IT(n-1), over 3 mm only. N from
        IT9 on has the upper deviation 0 over 3 mm; M6 of 250 to 315 mm is the standard's exception.
    References: ISO 286-1:2010, Tables 2 to 5 with their notes (from memory).

    >>> [int(deviation) for deviation in deviations(62, "N", "7")]
    [-9, -39]
    >>> [int(deviation) for deviation in deviations(62, "s", "6")]
    [72, 53]
    """
    width = standard_tolerance(size_mm, grade)
    shaft = letters.lower()
    if shaft not in SHAFT_LETTERS or letters not in (shaft, shaft.upper()):
        raise BadClass(f"{letters!r} is no tolerance letter: I, L, O, Q, W are not used, nor both cases mixed")
    if shaft == "js":
        return width / 2, -width / 2
    if letters == shaft:
        return _shaft(size_mm, shaft, grade, width)
    return _hole(size_mm, shaft, grade, width)


def limits(written: str) -> Interval:
    """Limits of a size given as an ISO 286 class.

    Args:
        written: nominal size in mm and class, such as ``"62 N7"`` or ``"25.4 h6"``; a blank between is optional
    Returns: both limits in mm
    Raises: BadClass: not written so, or not in the standard
    Notes: ComponentSizes up to 500 mm. Exact up to the last conversion to binary fractions.
    References: ISO 286-1:2010 (from memory).

    >>> limits("62 N7")
    Interval(low=61.961, high=61.991)
    >>> limits("60 s6")
    Interval(low=60.053, high=60.072)
    """
    match = _WRITTEN.fullmatch(written)
    if match is None:
        raise BadClass(f"{written!r} is no tolerance class; write it as '62 N7'")
    size, letters, grade = Decimal(match[1]), match[2], match[3]
    upper, lower = deviations(size, letters, grade)
    nominal = Fraction(size)
    return Interval(float(nominal + lower / _MICROMETRES), float(nominal + upper / _MICROMETRES))


def nearest_class(written: str) -> str | None:
    """The class of the standard nearest to one that it lacks: holes for holes, nearest letter, then grade.

    Args:
        written: nominal size in mm and letters and grade that the standard does not have together
    Returns: a class at the same size; None where it is not written as a class, or there is none at this size
    Notes: Nearness is that of the alphabet, not of the limits: it mends typing errors.
    References: ISO 286-1:2010 (from memory).

    >>> nearest_class("62 Q7")
    '62 P7'
    """
    match = _WRITTEN.fullmatch(written)
    if match is None:
        return None
    size, letters, grade = match[1], match[2], match[3]
    wanted = tables.GRADES.index(grade) if grade in tables.GRADES else len(tables.GRADES)
    by_nearness = sorted(
        (abs(_alphabetic(letter) - _alphabetic(letters.lower())), abs(at - wanted), letter, at)
        for letter in SHAFT_LETTERS
        for at in range(len(tables.GRADES))
    )
    for _, _, letter, at in by_nearness:
        found = f"{size} {letter.upper() if letters[0].isupper() else letter}{tables.GRADES[at]}"
        try:
            limits(found)
        except BadClass:
            continue
        return found
    return None


def _alphabetic(letters: str) -> int:
    return ord(letters[0]) * 27 + (ord(letters[1]) - ord("a") + 1 if len(letters) > 1 else 0)


def taper_of(written: str) -> Fraction:
    """A taper from the way it is written.

    Args:
        written: ``"1:10"``, diameter difference to length
    Returns: the ratio, without unit, exact
    Raises: BadTaper: not written so, or zero on either side
    Notes: ``1:10`` and ``2:20`` are the same taper.
    References: ISO 1119 (rate of taper C = 1:x).

    >>> taper_of("1:10")
    Fraction(1, 10)
    """
    match = _TAPER.fullmatch(written)
    if match is None or not Fraction(match[1]) or not Fraction(match[2]):
        raise BadTaper(f"{written!r} is no taper; write it as '1:10'")
    return Fraction(match[1]) / Fraction(match[2])


def _step(size_mm: Decimal | float, steps: tuple[int, ...]) -> int:
    if not 0 < size_mm <= steps[-1]:
        raise BadClass(f"ISO 286 classes are known here over 0 up to {steps[-1]} mm, not for {size_mm} mm")
    return bisect_left(steps, size_mm)


def _figure(size_mm: Decimal | float, row: tuple[int | None, ...], steps: tuple[int, ...]) -> Fraction:
    figure = row[_step(size_mm, steps)]
    if figure is None:
        raise BadClass(f"ISO 286 has no such class for {size_mm} mm")
    return Fraction(figure)


def _upper_of_shaft(size_mm: Decimal | float, shaft: str) -> Fraction | None:
    if shaft in tables.UPPER_BY_STEP:
        return -_figure(size_mm, tables.UPPER_BY_STEP[shaft], tables.STEPS)
    if shaft in tables.UPPER_BY_SUB_STEP:
        if shaft in "ab" and size_mm <= 1:
            raise BadClass(f"ISO 286 does not use {shaft} up to 1 mm")
        return -_figure(size_mm, tables.UPPER_BY_SUB_STEP[shaft], tables.SUB_STEPS)
    return None


def _lower_of_shaft(size_mm: Decimal | float, shaft: str) -> Fraction:
    if shaft in tables.LOWER_BY_STEP:
        return _figure(size_mm, tables.LOWER_BY_STEP[shaft], tables.STEPS)
    return _figure(size_mm, tables.LOWER_BY_SUB_STEP[shaft], tables.SUB_STEPS)


def _shaft(size_mm: Decimal | float, shaft: str, grade: str, width: Fraction) -> tuple[Fraction, Fraction]:
    upper = _upper_of_shaft(size_mm, shaft)
    if upper is not None:
        return upper, upper - width
    if shaft == "j":
        if grade not in tables.LOWER_OF_J:
            raise BadClass(f"ISO 286 has j5 to j8, not j{grade}")
        lower = -_figure(size_mm, tables.LOWER_OF_J[grade], tables.STEPS)
    elif shaft == "k" and grade not in ("4", "5", "6", "7"):
        lower = Fraction(0)
    else:
        lower = _lower_of_shaft(size_mm, shaft)
    return lower + width, lower


def _hole(size_mm: Decimal | float, shaft: str, grade: str, width: Fraction) -> tuple[Fraction, Fraction]:
    mirrored = _upper_of_shaft(size_mm, shaft)
    if mirrored is not None:
        return -mirrored + width, -mirrored
    if shaft == "j":
        if grade not in tables.UPPER_OF_HOLE_J:
            raise BadClass(f"ISO 286 has J6 to J8, not J{grade}")
        upper = _figure(size_mm, tables.UPPER_OF_HOLE_J[grade], tables.STEPS)
    else:
        upper = _upper_of_tight_hole(size_mm, shaft, grade)
    return upper, upper - width


def _upper_of_tight_hole(size_mm: Decimal | float, shaft: str, grade: str) -> Fraction:
    number = int(grade)  # of 01 and 0 too, which are finer than 3
    if number < 3:
        raise BadClass(f"ISO 286 has no {shaft.upper()}{grade}; tight holes begin at IT3")
    coarse = number > (8 if shaft in ("k", "m", "n") else 7)
    if coarse and size_mm > 3:
        if shaft == "k":
            raise BadClass(f"ISO 286 has K up to IT8 over 3 mm, not K{grade}")
        if shaft == "n":
            return Fraction(0)
    if shaft == "n" and coarse and size_mm <= 1:
        raise BadClass("ISO 286 does not use N above IT8 up to 1 mm")
    if shaft == "m" and grade == "6" and 250 < size_mm <= 315:
        return Fraction(-9)
    shift = Fraction(0)
    if not coarse and size_mm > 3:
        shift = standard_tolerance(size_mm, grade) - standard_tolerance(size_mm, str(number - 1))
    return -_lower_of_shaft(size_mm, shaft) + shift
