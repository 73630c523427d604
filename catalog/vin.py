"""Vehicle identification numbers: ISO 3779, ISO 3780 and 49 CFR 565."""

import re

_SHAPE = re.compile(r"[A-HJ-NPR-Z0-9]{17}", re.ASCII | re.IGNORECASE)
_SEPARATORS = re.compile(r"[\s\-\u2010-\u2015]")


def compact(text: str) -> str:
    """The text as a VIN is compared: upper case, without spaces and hyphens."""
    return _SEPARATORS.sub("", text).upper()


def has_vin_shape(text: str) -> bool:
    """Whether a text, without spaces and hyphens, is 17 letters and digits without I, O and Q.

    >>> has_vin_shape("1m8gdm9a-xkp042788")
    True
    """
    return _SHAPE.fullmatch(_SEPARATORS.sub("", text)) is not None
