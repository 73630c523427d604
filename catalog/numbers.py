"""Normal and folded forms of part numbers (2-domain, Cross-reference).

Normal form: Unicode Normalization Form KC (UAX #15), upper case, letters (L*) and decimal digits (Nd) only.
"""

import unicodedata

# Signs confused in print and speech, each with the one that stands for its group.
_FOLD = str.maketrans({"O": "0", "Q": "0", "D": "0", "I": "1", "L": "1", "S": "5", "B": "8", "Z": "2", "G": "6"})


def normal_form(number: str) -> str:
    """The form in which numbers are compared; empty when the text holds neither letter nor digit.

    >>> normal_form("tk 804-6")
    'TK8046'
    """
    text = unicodedata.normalize("NFKC", number).upper()
    return "".join(sign for sign in text if unicodedata.category(sign)[0] == "L" or unicodedata.category(sign) == "Nd")


def folded_form(number: str) -> str:
    """The normal form with confusable signs merged; it serves to propose a number, never to find one.

    >>> folded_form("TK8O46") == folded_form("TK 8046")
    True
    """
    return normal_form(number).translate(_FOLD)
