"""Figures and codes as pages write them."""

from decimal import Decimal
from fractions import Fraction

from django import template

register = template.Library()


@register.filter
def thousands(figure: float | Fraction | Decimal) -> str:
    """A figure to whole ones with a thin space between thousands.

    >>> thousands(1234567).split()
    ['1', '234', '567']
    """
    return f"{float(figure):,.0f}".replace(",", "\u2009")


@register.filter
def kilo(figure: float) -> str:
    """A figure in thousands of its unit, such as newtons in kN.

    >>> kilo(4210.0)
    '4.2'
    """
    return f"{figure / 1000:.1f}"


@register.filter
def percent(share: float) -> str:
    """A share in whole percent.

    >>> percent(0.125)
    '12%'
    """
    return f"{share:.0%}"


@register.filter
def in_words(code: str) -> str:
    """A code of letters and `_` as words.

    >>> in_words("press_fit")
    'press fit'
    """
    return code.replace("_", " ")
