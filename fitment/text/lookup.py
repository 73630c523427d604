"""The words for the codes of a look-up. Pure."""

from collections.abc import Mapping

_KINDS: Mapping[str, str] = {
    "component": "an original joint",
    "assembly": "an arm with its joints",
    "part": "a part of ours",
    "revision": "a revision of a part of ours",
    "kit": "a kit",
    "fastener": "a bolt, nut or screw",
    "other": "something not recorded yet",
}
_SIDES: Mapping[str, str] = {"left": "left", "right": "right", "both": "left and right"}
_EXCHANGES: Mapping[str, str] = {
    "one_way": "{new} is used in place of {old}, not the other way round",
    "both_ways": "{new} and {old} are used in place of each other",
    "with_rework": "{new} is used in place of {old} after rework, not the other way round",
}
_NEAR: Mapping[str, str] = {
    "folded": "the same but for signs that are easily confused, such as O and 0",
    "prefix": "begins with what you asked for",
}


def kind_words(kind: str) -> str:
    """What a number stands for."""
    return _KINDS.get(kind, _KINDS["other"])


def side_words(side: str | None) -> str:
    """The side of the car that a number is for; empty where it is for either."""
    return _SIDES.get(side or "", "")


def exchange_words(old: str, new: str, exchange: str) -> str:
    """What a supersession says.

    >>> exchange_words("A 1", "A 2", "both_ways")
    'A 2 and A 1 are used in place of each other'
    """
    return _EXCHANGES[exchange].format(old=old, new=new)


def near_words(by: str) -> str:
    """Why a number is proposed."""
    return _NEAR[by]
