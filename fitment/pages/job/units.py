"""Figures in the reader's units: N m and mm, or lb ft and inches. Pure."""

from dataclasses import dataclass
from decimal import Decimal

from catalog.units import inches, lb_ft, rounded

METRIC, IMPERIAL = "metric", "imperial"
UNITS = (METRIC, IMPERIAL)
UNIT_WORDS = ((METRIC, "N m and mm"), (IMPERIAL, "lb ft and inches"))
# A torque wrench in lb ft is read to half a mark; below this a decimal is worth having.
_DECIMAL_BELOW = 20


@dataclass(frozen=True, slots=True)
class Figure:
    value: str
    unit: str


def torque(value_nm: Decimal | int, units: str) -> Figure:
    """A torque as it is set on the wrench.

    >>> torque(Decimal("110"), "metric"), torque(Decimal("110"), "imperial")
    (Figure(value='110', unit='N m'), Figure(value='81', unit='lb ft'))
    """
    if units == METRIC:
        return Figure(_plain(Decimal(value_nm)), "N m")
    figure = lb_ft(value_nm)
    return Figure(str(rounded(figure, 1 if figure < _DECIMAL_BELOW else 0)), "lb ft")


def length(value_mm: Decimal | int, units: str) -> Figure:
    """A size in whole millimetres, or inches to two hundredths of a millimetre.

    >>> length(61, "metric"), length(61, "imperial")
    (Figure(value='61', unit='mm'), Figure(value='2.402', unit='in'))
    """
    if units == METRIC:
        return Figure(_plain(Decimal(value_mm)), "mm")
    return Figure(str(rounded(inches(value_mm), 3)), "in")


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
