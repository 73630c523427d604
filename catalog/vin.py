"""Vehicle identification numbers: ISO 3779 (content), ISO 3780 (maker identifier), 49 CFR 565 (check digit, year).

A VIN names one person's car. Nothing here keeps one: the functions take a text and give back what it says.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

_SHAPE = re.compile(r"[A-HJ-NPR-Z0-9]{17}", re.ASCII | re.IGNORECASE)
_SEPARATORS = re.compile(r"[\s\-\u2010-\u2015]")

# 49 CFR 565.15(c), Tables III and IV: values of the letters, weights of the positions (the ninth is the digit itself).
_VALUES = {sign: value for value in range(10) for sign in str(value)} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9), strict=True)
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
# 49 CFR 565.15(d)(1), Table VII: a cycle of thirty years.
_YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789"
_NORTH_AMERICA = "12345"
ANY_SIGN = "?"
MASK = r"[A-HJ-NPR-Z0-9?]{5}"  # positions 4 to 8

VIN_IN_ADDRESS = "a vehicle identification number is never part of an address"
"""Why what has the shape of one is refused, wherever it stands in an address."""


class BadVin(ValueError):
    """A text that is no vehicle identification number; the message says why, and never repeats the text."""


@dataclass(frozen=True, slots=True)
class DecodedVin:
    """What a VIN says by itself.

    `check_digit_right` is a fact; where the region does not prescribe the digit, a wrong one is only a hint.
    `model_year` is None where position 10 is no year code; outside North America it is advisory.
    """

    wmi: str
    descriptor: str
    check_digit_right: bool
    north_american: bool
    model_year: int | None


def compact(text: str) -> str:
    """The text as a VIN is compared: upper case, without spaces and hyphens."""
    return _SEPARATORS.sub("", text).upper()


def has_vin_shape(text: str) -> bool:
    """Whether a text, without spaces and hyphens, is 17 letters and digits without I, O and Q.

    >>> has_vin_shape("1m8gdm9a-xkp042788")
    True
    """
    return _SHAPE.fullmatch(_SEPARATORS.sub("", text)) is not None


def check_digit(vin: str) -> str:
    """The digit that position 9 must show: the weighted sum modulo 11, X for ten (49 CFR 565.15(c)).

    >>> check_digit("1M8GDM9AXKP042788")
    'X'
    """
    remainder = sum(_VALUES[sign] * weight for sign, weight in zip(vin, _WEIGHTS, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def model_year(vin: str) -> int | None:
    """The year of position 10 in the cycle that position 7 names: a digit 1980-2009, a letter 2010-2039.

    The rule of position 7 stands in 49 CFR 565.15(d)(1) for passenger cars and light multipurpose vehicles.

    >>> model_year("1M8GDM9AXKP042788")
    1989
    """
    place = _YEARS.find(vin[9])
    if place < 0:
        return None
    return (1980 if vin[6].isdigit() else 2010) + place


def decode(text: str) -> DecodedVin:
    """What the VIN in a text says.

    Raises BadVin where it is not 17 permitted signs, or where the first sign is 1 to 5 and the check digit is wrong.
    """
    vin = compact(text)
    if len(vin) != 17:
        raise BadVin(f"a vehicle identification number has 17 signs; this one has {len(vin)}")
    if not _SHAPE.fullmatch(vin):
        raise BadVin("a vehicle identification number has digits and the letters A to Z without I, O and Q only")
    right = check_digit(vin) == vin[8]
    north_american = vin[0] in _NORTH_AMERICA
    if north_american and not right:
        raise BadVin("the check digit (position 9) does not agree with the other signs; one of them is mistyped")
    return DecodedVin(
        wmi=vin[:3],
        descriptor=vin[3:8],
        check_digit_right=right,
        north_american=north_american,
        model_year=model_year(vin),
    )


def mask_fits(mask: str, descriptor: str) -> bool:
    """Whether positions 4 to 8 agree with a mask, `?` standing for any sign.

    >>> mask_fits("A?34?", "AX34Z"), mask_fits("A?34?", "BX34Z")
    (True, False)
    """
    return all(wanted in (ANY_SIGN, sign) for wanted, sign in zip(mask, descriptor, strict=True))


def matching(patterns: Iterable[tuple[str, str]], vin: DecodedVin) -> list[tuple[str, str]]:
    """The (maker identifier, mask) pairs that a VIN agrees with."""
    return [(wmi, mask) for wmi, mask in patterns if wmi == vin.wmi and mask_fits(mask, vin.descriptor)]
