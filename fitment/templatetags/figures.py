"""Figures as pages write them."""

from django import template

register = template.Library()


@register.filter
def thousands(figure: int) -> str:
    """A whole figure with a thin space between thousands.

    >>> thousands(1234567).split()
    ['1', '234', '567']
    """
    return f"{figure:,}".replace(",", "\u2009")
