"""Cars as they are shown: one decimal, half up."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

TENTH = Decimal("0.1")


def tenths(cars: Fraction) -> float:
    """Cars to one decimal, half up.

    >>> tenths(Fraction(1, 4)), tenths(Fraction(7, 20))
    (0.3, 0.4)
    """
    exact = Decimal(cars.numerator * 100 // cars.denominator) / 100
    # What lies behind the second decimal can only lift a tie, never make one.
    return float(exact.quantize(TENTH, ROUND_HALF_UP))
