"""The words for the codes of a look-up. Pure."""

from collections.abc import Mapping, Sequence

from catalog.codes import Exchange, RevisionExchange, Side
from catalog.conditions import Clause, parse_conditions
from catalog.vin import VIN_IN_ADDRESS
from fitment.text.dates import window_words
from fitment.text.names import Names

VIN_INTO_BOX = f"{VIN_IN_ADDRESS.capitalize()}. Type it into the box: it is read, and not kept."
TOO_MANY_QUESTIONS = "Many questions came from your address; this one is not counted."
_EXCHANGES: Mapping[str, str] = {
    Exchange.ONE_WAY: "{new} is used in place of {old}, not the other way round",
    Exchange.BOTH_WAYS: "{new} and {old} are used in place of each other",
    Exchange.WITH_REWORK: "{new} is used in place of {old} after rework, not the other way round",
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


def condition_words(conditions: str, called: Names) -> str:
    """Conditions in words: 'without Sport suspension, engine E20 or E25'."""
    return ", ".join(_clause_words(clause, called) for clause in parse_conditions(conditions).clauses)


def _clause_words(clause: Clause, called: Names) -> str:
    if clause.option is not None:
        return " or ".join(called.fact(clause.attribute, value) for value in sorted(clause.values))
    if clause.windows:
        several = [window_words(window.first, window.last) for window in clause.windows]
    else:
        several = [called.value(clause.attribute, value) for value in sorted(clause.values)]
    return f"{called.parameter(clause.attribute).lower()} {'not ' if clause.negated else ''}{' or '.join(several)}"


def reading_title(text: str, *, no_stamp: bool, problem: str, without: str, several: bool) -> str:
    """The heading over what the box understood of a text that was not understood for certain."""
    if no_stamp:
        return f"'{text}' names no revision of this part"
    if problem:
        return problem
    if without:
        return f"Not understood: {without}"
    return "This can be read in more than one way" if several else "Please check"


def go_on_words(facts: Sequence[str], without: str) -> str:
    """The offer of a car: by its facts where several are offered, else with what is left out of it."""
    if facts:
        words = ", ".join(facts)
        return words[:1].upper() + words[1:]
    return f"Go on without {without}" if without else "Go on with this car"
