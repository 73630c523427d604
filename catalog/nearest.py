"""The known word nearest to one that is not known, so that an error can name it. Pure."""

from collections.abc import Iterable
from difflib import SequenceMatcher


def nearest(text: str, known: Iterable[str]) -> str | None:
    """The known word most like `text`, the first in order where several are; None where nothing is known.

    Letters' case does not count. Likeness is the share of signs in common (Ratcliff and Obershelp, as in
    Python's difflib).

    >>> nearest("chasis", ["chassis", "body", "engine"])
    'chassis'
    """
    wanted = text.casefold()
    matcher = SequenceMatcher(b=wanted, autojunk=False)
    best, best_ratio = None, -1.0
    for word in sorted(set(known)):
        folded = word.casefold()
        if folded == wanted:
            return word
        matcher.set_seq1(folded)
        # The quick ratios are upper bounds: most words need no exact one.
        if matcher.real_quick_ratio() <= best_ratio or matcher.quick_ratio() <= best_ratio:
            continue
        ratio = matcher.ratio()
        if ratio > best_ratio:
            best, best_ratio = word, ratio
    return best


def did_you_mean(text: str, known: Iterable[str]) -> str:
    """`; the nearest is 'X'`, or nothing where nothing is known: the end of a sentence on an unknown word.

    >>> did_you_mean("QN5", ["QN4", "TT1"])
    "; the nearest is 'QN4'"
    """
    word = nearest(text, known)
    return f"; the nearest is '{word}'" if word is not None else ""
