"""Chain of numbers: old to new from left to right, an arrow for each supersession. Pure.

Drawing units are those of the SVG view box.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

TAG_HEIGHT, ROW, GAP, MARGIN = 44.0, 76.0, 118.0, 2.0
SIGN_WIDTH, PADDING, LEAST_WIDTH = 8.7, 26.0, 96.0
LONGEST, MOST = 26, 40
BOTH_WAYS, WITH_REWORK = "both_ways", "with_rework"
ASKED, CURRENT, OLD = "asked", "current", "old"
_WORDS = {"one_way": "one way", BOTH_WAYS: "both ways", WITH_REWORK: "with rework"}


@dataclass(frozen=True, slots=True)
class ChainLink:
    """A supersession: `new` takes the place of `old`; exchange is one_way, both_ways or with_rework."""

    old: str
    new: str
    exchange: str


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
    columns = _columns(near, drawn)
    lanes = [_lane(link, columns) for link in drawn]
    rows = _rows(near, columns, lanes)
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


def _columns(numbers: Sequence[str], links: Sequence[ChainLink]) -> dict[str, int]:
    """The length of the longest chain that leads to each number."""
    older: dict[str, list[str]] = defaultdict(list)
    newer: dict[str, list[str]] = defaultdict(list)
    for link in links:
        older[link.new].append(link.old)
        newer[link.old].append(link.new)
    left = {number: len(older[number]) for number in numbers}
    columns = dict.fromkeys(numbers, 0)
    queue = deque(number for number in numbers if not left[number])
    while queue:
        number = queue.popleft()
        for new in newer[number]:
            columns[new] = max(columns[new], columns[number] + 1)
            left[new] -= 1
            if not left[new]:
                queue.append(new)
    return columns


def _lane(link: ChainLink, columns: dict[str, int]) -> list[str]:
    """The old number, a place in each column that the arrow passes, the new number; places enter `columns`."""
    lane = [link.old]
    for column in range(columns[link.old] + 1, columns[link.new]):
        place = f"{link.old}\0{link.new}\0{column}"
        columns[place] = column
        lane.append(place)
    return [*lane, link.new]


def _rows(numbers: Sequence[str], columns: Mapping[str, int], lanes: Sequence[Sequence[str]]) -> dict[str, int]:
    """Column by column, each number and passing arrow as near as may be to the rows of what leads to it."""
    leads: dict[str, list[str]] = defaultdict(list)
    for lane in lanes:
        for before, after in pairwise(lane):
            leads[after].append(before)
    # Tags come before passing arrows where both would have a row.
    known = {*numbers}
    rows: dict[str, int] = {}
    for column in sorted(set(columns.values())):
        here = [name for name in columns if columns[name] == column]

        def wanted(name: str) -> float:
            before = [rows[each] for each in leads[name] if each in rows]
            return sum(before) / len(before) if before else 0.0

        taken = -1
        for name in sorted(here, key=lambda name: (wanted(name), name not in known, name)):
            rows[name] = max(taken + 1, round(wanted(name)))
            taken = rows[name]
    return rows


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
    exchange = link.exchange
    return ChainArrow(path, _WORDS[exchange], exchange == BOTH_WAYS, exchange == WITH_REWORK, tail, at, label)
