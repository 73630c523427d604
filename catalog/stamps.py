"""Stamps on our own parts, `PART-REV BATCH`, and the order of letters and batches."""

import re
from dataclasses import dataclass

_STAMP = re.compile(r"\s*([^\s\0]+)-([A-Za-z]+)(?:\s+([^\s\0][^\0]*?))?\s*")


@dataclass(frozen=True, slots=True)
class Stamp:
    """What stands on a part, in upper case; an empty batch was not read."""

    part: str
    letter: str
    batch: str


def parse_stamp(text: str) -> Stamp | None:
    """The stamp a text may be, or None; whether the part exists is another question.

    >>> parse_stamp("lm-210-b 2210")
    Stamp(part='LM-210', letter='B', batch='2210')
    """
    found = _STAMP.fullmatch(text)
    if not found:
        return None
    part, letter, batch = found.groups(default="")
    return Stamp(part.upper(), letter.upper(), " ".join(batch.upper().split()))


def letter_order(letter: str) -> tuple[int, str]:
    """Letters go by length first: Z comes before AA."""
    return len(letter), letter


def batch_order(batch: str) -> tuple[int, str]:
    """Batches go by length first: 999 comes before 1000."""
    return len(batch), batch


def batch_is_held(batch: str, batch_from: str, batch_to: str) -> bool:
    """Whether a batch lies in a held range; an empty end is open, and no range at all is the whole revision.

    A stamp is read in any case, so case does not count.

    >>> batch_is_held("2210", "2209", "2212"), batch_is_held("10000", "2209", "2212")
    (True, False)
    """
    order, first, last = (batch_order(text.upper()) for text in (batch, batch_from, batch_to))
    return (not batch_from or first <= order) and (not batch_to or order <= last)


def pairs_with(letter: str, exchanges: dict[str, str], *, same_revision: bool) -> list[str]:
    """The letters that may sit on the other side of the car, in letter order.

    `exchanges` holds for each letter how it exchanges with the one before it. Under the rule 'same revision both
    sides' only the letter itself; else the letters joined to it by an unbroken run of `both_ways`.

    >>> pairs_with("B", {"A": "", "B": "both_ways", "C": "one_way"}, same_revision=False)
    ['A', 'B']
    """
    if same_revision:
        return [letter]
    letters = sorted(exchanges, key=letter_order)
    place = letters.index(letter)
    first = last = place
    while first > 0 and exchanges[letters[first]] == "both_ways":
        first -= 1
    while last + 1 < len(letters) and exchanges[letters[last + 1]] == "both_ways":
        last += 1
    return letters[first : last + 1]
