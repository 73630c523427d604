"""Chain of numbers: old to new from left to right, an arrow for each supersession. Pure.

Drawing units are those of the SVG view box.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from catalog.codes import Exchange
from fitment.drawing.layers import longest_chains, near_rows

TAG_HEIGHT, ROW, GAP, MARGIN = 44.0, 76.0, 118.0, 2.0
SIGN_WIDTH, PADDING, LEAST_WIDTH = 8.7, 26.0, 96.0
LONGEST, MOST = 26, 40
ASKED, CURRENT, OLD = "asked", "current", "old"


@dataclass(frozen=True, slots=True)
class ChainLink:
    """A supersession: `new` takes the place of `old`."""

    old: str
    new: str
    exchange: Exchange | str


@dataclass(frozen=True, slots=True)
class NumberTag:
    """A number with its left upper corner; `asked` is the one looked up, `current` has none that replaces it."""

    number: str
    text: str
    state: str
    current: bool
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class ChainArrow:
    """An SVG path from old to new; where `both`, the old one may be used for the new one too."""

    path: str
    words: str
    both: bool
    rework: bool
    tail: tuple[float, float]
    head: tuple[float, float]
    label: tuple[float, float]


@dataclass(frozen=True, slots=True)
class ChainDrawing:
    """`beyond`: how many numbers of the chain stand farther away than is drawn."""

    width: float
    height: float
    tag_width: float
    tags: tuple[NumberTag, ...]
    arrows: tuple[ChainArrow, ...]
    beyond: int = 0

    tag_height = TAG_HEIGHT

    @property
    def middle(self) -> float:
        """The middle of a tag from its left edge."""
        return self.tag_width / 2


def chain_drawing(asked: str, links: Iterable[ChainLink]) -> ChainDrawing:
    """Lay out the supersessions joined to a number, which hold no ring.

    A number stands one column right of the last of those it replaces. An arrow that passes columns keeps a row of
    its own there, so that it crosses no tag. At most MOST numbers are drawn, the fewest steps away first.

    >>> drawing = chain_drawing("A", [ChainLink("A", "B", "both_ways"), ChainLink("B", "C", "with_rework")])
    >>> [(tag.number, tag.state, tag.x) for tag in drawing.tags]
    [('A', 'asked', 2.0), ('B', 'old', 216.0), ('C', 'current', 430.0)]
    >>> [(arrow.words, arrow.both) for arrow in drawing.arrows]
    [('both ways', True), ('with rework', False)]
    """
    every = list(dict.fromkeys(links))
    near = _nearest(asked, every)
    drawn = [link for link in every if link.old in near and link.new in near]
    columns = longest_chains(near, _before((link.old, link.new) for link in drawn))
    lanes = [_lane(link, columns) for link in drawn]
    # Tags come before passing arrows where both would have a row.
    rows = near_rows(
        columns, _before(pair for lane in lanes for pair in pairwise(lane)), lambda name: (name not in near, name)
    )
    texts = {number: number if len(number) <= LONGEST else f"{number[: LONGEST - 1]}…" for number in near}
    tag_width = max(LEAST_WIDTH, PADDING + SIGN_WIDTH * max(len(text) for text in texts.values()))
    replaced = {link.old for link in every}

    def left(name: str) -> float:
        return MARGIN + columns[name] * (tag_width + GAP)

    tags = tuple(
        NumberTag(
            number,
            texts[number],
            ASKED if number == asked else OLD if number in replaced else CURRENT,
            number not in replaced,
            left(number),
            MARGIN + rows[number] * ROW,
        )
        for number in near
    )
    arrows = tuple(
        _arrow(link, [(left(name), MARGIN + rows[name] * ROW + TAG_HEIGHT / 2) for name in lane], tag_width)
        for link, lane in zip(drawn, lanes, strict=True)
    )
    width = max(tag.x for tag in tags) + tag_width + MARGIN
    height = max(rows.values()) * ROW + TAG_HEIGHT + 2 * MARGIN
    beyond = len({number for link in every for number in (link.old, link.new)} - set(near))
    return ChainDrawing(width, height, tag_width, tags, arrows, beyond)


def _nearest(asked: str, links: Iterable[ChainLink]) -> list[str]:
    """Up to MOST numbers joined to the one asked for, by the number of steps either way."""
    joined: dict[str, list[str]] = defaultdict(list)
    for link in links:
        joined[link.old].append(link.new)
        joined[link.new].append(link.old)
    found, queue = {asked: None}, deque([asked])
    while queue and len(found) < MOST:
        for number in sorted(joined[queue.popleft()]):
            if number not in found and len(found) < MOST:
                found[number] = None
                queue.append(number)
    return list(found)


def _before(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for earlier, later in pairs:
        found[later].append(earlier)
    return found


def _lane(link: ChainLink, columns: dict[str, int]) -> list[str]:
    """The old number, a place in each column that the arrow passes, the new number; places enter `columns`."""
    lane = [link.old]
    for column in range(columns[link.old] + 1, columns[link.new]):
        place = f"{link.old}\0{link.new}\0{column}"
        columns[place] = column
        lane.append(place)
    return [*lane, link.new]


def _arrow(link: ChainLink, points: Sequence[tuple[float, float]], tag_width: float) -> ChainArrow:
    """`points`: left edges and middles of the tags, and of the places it passes."""
    (x, y), *passed = points
    tail = (x + tag_width, y)
    path, at = f"M{tail[0]:.1f} {tail[1]:.1f}", tail
    for x, y in passed:
        bend = (x - at[0]) / 2
        path += f"C{at[0] + bend:.1f} {at[1]:.1f} {x - bend:.1f} {y:.1f} {x:.1f} {y:.1f}"
        at = (x, y)
        if (x, y) != points[-1]:
            path += f"H{x + tag_width:.1f}"
            at = (x + tag_width, y)
    first_x, first_y = passed[0]
    label = ((tail[0] + first_x) / 2, (tail[1] + first_y) / 2 - 9)
    exchange = Exchange(link.exchange)
    both, rework = exchange is Exchange.BOTH_WAYS, exchange is Exchange.WITH_REWORK
    return ChainArrow(path, exchange.word, both, rework, tail, at, label)
