"""The words for the codes of a look-up. Pure."""

from collections.abc import Mapping

from catalog.codes import RevisionExchange, Side

_EXCHANGES: Mapping[str, str] = {
    "one_way": "{new} is used in place of {old}, not the other way round",
    "both_ways": "{new} and {old} are used in place of each other",
    "with_rework": "{new} is used in place of {old} after rework, not the other way round",
}
_REVISION_EXCHANGES: Mapping[str, str] = {
    RevisionExchange.ONE_WAY: "{new} in place of {old}",
    RevisionExchange.BOTH_WAYS: "{old} and {new} exchange",
    RevisionExchange.WITH_REWORK: "{new} for {old}, with rework",
    RevisionExchange.NONE: "{old} and {new} do not exchange",
}


def revision_exchange_words(old: str, new: str, exchange: str) -> str:
    """What two letters drawn beside each other say; empty where nothing is recorded."""
    return _REVISION_EXCHANGES.get(exchange, "").format(old=old, new=new)


def side_words(side: str | None) -> str:
    """The side of the car that a number is for; empty where it is for either."""
    return "left and right" if side == Side.BOTH else side or ""


def exchange_words(old: str, new: str, exchange: str) -> str:
    """What a supersession says.

    >>> exchange_words("A 1", "A 2", "both_ways")
    'A 2 and A 1 are used in place of each other'
    """
    return _EXCHANGES[exchange].format(old=old, new=new)
