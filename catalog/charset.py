"""What a code and an attribute value may consist of."""

import re
import unicodedata

from catalog.vin import has_vin_shape

FORBIDDEN_IN_CODES = ';|=:/@,"'
FORBIDDEN_IN_VALUES = ";|="
FORMULA_STARTS = ("=", "+", "@", "\t", "\r")
_SPACE = re.compile(r"\s")


def code_fault(text: str) -> str | None:
    """Why a text cannot be a code, or None.

    >>> code_fault("LM-210"), code_fault("LM 210")
    (None, 'a code holds no space')
    """
    if _SPACE.search(text):
        return "a code holds no space"
    for sign in FORBIDDEN_IN_CODES:
        if sign in text:
            return f"a code holds no '{sign}'"
    if ".." in text:
        return "a code holds no '..'"
    return vin_fault(text)


def value_fault(text: str) -> str | None:
    """Why a text cannot be the value of an attribute (body, engine, market ...), or None."""
    for sign in FORBIDDEN_IN_VALUES:
        if sign in text:
            return f"an attribute value holds no '{sign}'"
    return vin_fault(text)


def vin_fault(text: str) -> str | None:
    """A vehicle identification number names one person's car: no code or number may have its shape."""
    return "it has the shape of a vehicle identification number" if has_vin_shape(text) else None


def control_fault(text: str, *, line_breaks: bool = False) -> str | None:
    """The first control sign in a text, in words, or None; line breaks may be allowed."""
    for sign in text:
        if unicodedata.category(sign) == "Cc" and not (line_breaks and sign in "\n\r\t"):
            return f"it holds the control sign U+{ord(sign):04X}"
    return None


def one_line(text: str) -> str:
    """A text without signs that break a line or do not show.

    >>> one_line("two\\nlines")
    'two\\\\nlines'
    """
    return "".join(sign if sign.isprintable() else repr(sign)[1:-1] for sign in text)
