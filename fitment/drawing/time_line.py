"""Time line of a part's revisions: where each letter stands, and the arrows where two of them exchange. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import Exchange, RevisionExchange
from fitment.text.lookup import revision_exchange_words

STEP, MARGIN, HEIGHT = 164.0, 48.0, 150.0
AXIS_Y = 84.0
_ARROW_GAP = 26.0


@dataclass(frozen=True, slots=True)
class DrawnRevision:
    """A revision as it is drawn.

    `exchange` is towards the one drawn before it; empty where nothing is recorded or the one before is not shown.
    """

    letter: str
    status: str
    exchange: str = ""
    held: bool = False


@dataclass(frozen=True, slots=True)
class RevisionDot:
    letter: str
    status: str
    held: bool
    x: float


@dataclass(frozen=True, slots=True)
class ExchangeArrow:
    """From `x1` to `x2` at height `y`: the revision at the tail may be used in place of the one at the head."""

    x1: float
    x2: float
    y: float
    rework: bool


@dataclass(frozen=True, slots=True)
class ExchangeLabel:
    """What stands between two letters: a cross where they do not exchange, and the words for it."""

    x: float
    words: str
    crossed: bool


@dataclass(frozen=True, slots=True)
class TimeLine:
    """In units of the view box `width` x `height`; the line runs at `axis_y`."""

    width: float
    dots: tuple[RevisionDot, ...]
    arrows: tuple[ExchangeArrow, ...]
    between: tuple[ExchangeLabel, ...]

    height = HEIGHT
    axis_y = AXIS_Y


def time_line(editions: Sequence[DrawnRevision]) -> TimeLine:
    """Revisions from old to new, evenly spaced (the line is in order, not to scale).

    >>> line = time_line([DrawnRevision("A", "withdrawn"), DrawnRevision("B", "released", "both_ways")])
    >>> [dot.x for dot in line.dots], len(line.arrows), line.between[0].words
    ([48.0, 212.0], 2, 'A and B exchange')
    """
    dots = tuple(
        RevisionDot(edition.letter, edition.status, edition.held, MARGIN + STEP * at)
        for at, edition in enumerate(editions)
    )
    arrows: list[ExchangeArrow] = []
    between: list[ExchangeLabel] = []
    for before, dot, edition in zip(dots, dots[1:], editions[1:], strict=False):
        left, right = before.x + _ARROW_GAP, dot.x - _ARROW_GAP
        if edition.exchange in Exchange.values:
            rework = edition.exchange == Exchange.WITH_REWORK
            arrows.append(ExchangeArrow(right, left, AXIS_Y - 20, rework=rework))
        if edition.exchange == Exchange.BOTH_WAYS:
            arrows.append(ExchangeArrow(left, right, AXIS_Y - 32, rework=False))
        words = revision_exchange_words(before.letter, dot.letter, edition.exchange)
        crossed = edition.exchange == RevisionExchange.NONE
        between.append(ExchangeLabel((before.x + dot.x) / 2, words, crossed))
    width = 2 * MARGIN + STEP * max(0, len(dots) - 1)
    return TimeLine(width, dots, tuple(arrows), tuple(between))
