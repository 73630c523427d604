"""Newton metres and pound-feet, millimetres and inches, by exact factors. Pure.

References: NIST SP 811 (2008), Appendix B (from memory): 1 in = 25.4 mm, 1 lb = 0.45359237 kg,
standard gravity 9.80665 m/s2, all exact.
"""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

MM_PER_INCH = Fraction(254, 10)
NM_PER_LB_FT = Fraction("0.45359237") * Fraction("9.80665") * Fraction("0.3048")

Figure = Decimal | Fraction | int | float


def lb_ft(torque_nm: Figure) -> Fraction:
    """Pound-force feet of a torque in N m.

    >>> rounded(lb_ft(110), 1)
    Decimal('81.1')
    """
    return Fraction(torque_nm) / NM_PER_LB_FT


def inches(length_mm: Figure) -> Fraction:
    """Inches of a length in mm.

    >>> rounded(inches(62), 3)
    Decimal('2.441')
    """
    return Fraction(length_mm) / MM_PER_INCH


def rounded(value: Figure, places: int) -> Decimal:
    """A figure to so many decimals, half away from zero.

    >>> rounded(Fraction(1, 8), 2)
    Decimal('0.13')
    """
    value = Fraction(value)
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
