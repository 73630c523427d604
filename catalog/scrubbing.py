"""Texts of a request or a workbook that an answer repeats, without what names a person's car."""

import re

from catalog.vin import has_vin_shape

# What a message quotes, and every word.
_PIECES = re.compile(r"'[^']*'|[^\s'(),;:]+")
REMOVED = "(removed)"


def scrubbed(text: str) -> str:
    """The text with every vehicle identification number taken out, whether a word or a quoted text.

    >>> scrubbed("There is no part '1M8GDM9A XKP042788'.")
    "There is no part '(removed)'."
    >>> scrubbed("There is no part 'LM-210'.")
    "There is no part 'LM-210'."
    """
    return _PIECES.sub(_piece, text)


def _piece(found: re.Match[str]) -> str:
    piece = found.group()
    inner = piece.strip("'").rstrip(".")
    return piece.replace(inner, REMOVED) if has_vin_shape(inner) else piece
