"""Figures as pages write them."""

from django import template

register = template.Library()


@register.filter
def thousands(figure: float) -> str:
    """A figure to whole ones with a thin space between thousands.

    >>> thousands(1234567).split()
    ['1', '234', '567']
    """
    return f"{figure:,.0f}".replace(",", "\u2009")
