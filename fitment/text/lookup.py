"""The words for the codes of a look-up. Pure."""

from collections.abc import Mapping

from catalog.codes import Side

_EXCHANGES: Mapping[str, str] = {
    "one_way": "{new} is used in place of {old}, not the other way round",
    "both_ways": "{new} and {old} are used in place of each other",
    "with_rework": "{new} is used in place of {old} after rework, not the other way round",
}


def side_words(side: str | None) -> str:
    """The side of the car that a number is for; empty where it is for either."""
    return "left and right" if side == Side.BOTH else side or ""


def exchange_words(old: str, new: str, exchange: str) -> str:
    """What a supersession says.

    >>> exchange_words("A 1", "A 2", "both_ways")
    'A 2 and A 1 are used in place of each other'
    """
    return _EXCHANGES[exchange].format(old=old, new=new)
