"""What must not be repeated, taken out of texts: for answers and reports VINs, for logs secrets and tokens too."""

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


_VIN = re.compile(
    r"(?<![A-Za-z0-9])(?=[A-Za-z0-9]*\d)(?:[A-HJ-NPR-Z0-9][ \-]?){16}[A-HJ-NPR-Z0-9](?![A-Za-z0-9])", re.IGNORECASE
)
_TOKEN = re.compile(r"jb_[0-9a-f]{8,}|(?i:\b(?:token|bearer|basic)\s+)[A-Za-z0-9_\-+/=.]{12,}")
_SECRET = re.compile(
    r"(?i)\b((?:old_|new_)?password[12]?|passwd|secret(?:_key)?|csrfmiddlewaretoken|csrftoken|sessionid|authorization|vin)"
    r"(['\"]?\s*[=:]\s*)(['\"]?)[^'\"\s,;&}]+"
)
_URL_PASSWORD = re.compile(r"(\w+://[^\s:/@]*):[^\s@/]+@")


def scrub(text: str) -> str:
    """The text without values that name a person's car or open a door.

    >>> scrub("asked for 1M8GDM9AXKP042788 with password=hunter22")
    'asked for [vin] with password=[removed]'
    """
    text = _SECRET.sub(r"\1\2\3[removed]", text)
    text = _TOKEN.sub("[token]", text)
    text = _URL_PASSWORD.sub(r"\1:[removed]@", text)
    return _VIN.sub("[vin]", text)
