"""Way-in graph: steps as short boxes from the outside of the car to the joint, left to right. Pure.

Drawing units are those of the SVG view box.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from textwrap import shorten, wrap

from catalog.codes import GraphState
from fitment.drawing.layers import longest_chains, near_rows

BOX_WIDTH, BOX_HEIGHT = 142.0, 80.0
COLUMN, ROW = 172.0, 96.0
MARGIN = 10.0
FIRST_LINE, LINE_STEP = 19.0, 16.0
LANE_GAP = 26.0
RULE_GAP = 34.0
LINE_LENGTH, LINES = 17, 3
NOTE_LENGTH, NOTE_LINES, FIRST_NOTE = 20, 2, 52.0
CHOSEN, OTHER, AFTER, GOAL = GraphState


@dataclass(frozen=True, slots=True)
class StepNode:
    """A box: its text, a line under it, and the marks of the parts that share it."""

    name: str
    title: str
    note: str
    state: str
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepBox:
    """A node with its left upper corner."""

    node: StepNode
    x: float
    y: float

    @property
    def lines(self) -> list[tuple[float, str]]:
        """The title's, each with its height in the box."""
        return _broken(self.node.title, LINE_LENGTH, LINES, FIRST_LINE)

    @property
    def notes(self) -> list[tuple[float, str]]:
        """Those of a goal's place."""
        return _broken(self.node.note, NOTE_LENGTH, NOTE_LINES, FIRST_NOTE)


@dataclass(frozen=True, slots=True)
class Wire:
    """A link as an SVG path; `other` ones belong to a way not taken."""

    path: str
    other: bool


@dataclass(frozen=True, slots=True)
class WayGraph:
    """`rule_x`: where the double rule before the after-work stands, None without after-work."""

    width: float
    height: float
    boxes: tuple[StepBox, ...]
    wires: tuple[Wire, ...]
    rule_x: float | None

    box_width = BOX_WIDTH
    box_height = BOX_HEIGHT


def way_graph(nodes: Sequence[StepNode], links: Iterable[tuple[str, str]]) -> WayGraph:
    """Lay out a graph of steps that has no ring.

    A step stands one column right of the last of those it rests on; goals stand in the column after all. A way not
    taken is one box in a lane below, right before what could rest on it; after-work stands behind a rule, right of
    the goals.

    Notes: rows follow those of what a step rests on, which keeps most lines from crossing, not all.

    >>> graph = way_graph([StepNode("a", "Raise", "", "chosen"), StepNode("g", "Joint", "", "goal")], [("a", "g")])
    >>> [(box.node.name, box.x) for box in graph.boxes], graph.rule_x
    ([('a', 10.0), ('g', 182.0)], None)
    """
    by_name = {node.name: node for node in nodes}
    pairs = [(a, b) for a, b in links if a in by_name and b in by_name]
    before: dict[str, list[str]] = {node.name: [] for node in nodes}
    for a, b in pairs:
        before[b].append(a)
    columns = longest_chains([node.name for node in nodes if node.state == CHOSEN], before)
    last = max(columns.values(), default=-1) + 1
    columns |= {node.name: last for node in nodes if node.state == GOAL}
    for node in nodes:
        if node.state == OTHER:
            onward = [columns[b] for a, b in pairs if a == node.name]
            columns[node.name] = max(0, min(onward, default=last) - 1)
    pairs = [(a, b) for a, b in pairs if by_name[b].state != OTHER or a in _latest(b, before, columns)]
    after = [node.name for node in nodes if node.state == AFTER]
    after_columns = longest_chains(after, before)
    columns |= {name: last + 1 + depth for name, depth in after_columns.items()}

    position = {node.name: at for at, node in enumerate(nodes)}

    def rows(lane: Iterable[StepNode]) -> dict[str, int]:
        return near_rows({node.name: columns[node.name] for node in lane}, before, position.__getitem__, dense=True)

    top = rows(node for node in nodes if node.state != OTHER)
    ys = {name: MARGIN + row * ROW for name, row in top.items()}
    below = rows(node for node in nodes if node.state == OTHER)
    lane = MARGIN + (max(top.values(), default=0) + 1) * ROW + (LANE_GAP if below else 0)
    ys |= {name: lane + row * ROW for name, row in below.items()}

    xs = {
        name: MARGIN + column * COLUMN + (RULE_GAP if by_name[name].state == AFTER else 0)
        for name, column in columns.items()
    }
    boxes = tuple(StepBox(node, xs[node.name], ys[node.name]) for node in nodes)
    wires = tuple(
        Wire(_path(xs[a], ys[a], xs[b], ys[b]), OTHER in (by_name[a].state, by_name[b].state)) for a, b in pairs
    )
    rule_x = MARGIN + (last + 1) * COLUMN - (COLUMN - BOX_WIDTH) / 2 + RULE_GAP / 2 if after else None
    width = max(xs.values(), default=0.0) + BOX_WIDTH + MARGIN
    height = max(ys.values(), default=0.0) + BOX_HEIGHT + MARGIN
    return WayGraph(width, height, boxes, wires, rule_x)


def _latest(name: str, before: Mapping[str, Sequence[str]], columns: Mapping[str, int]) -> list[str]:
    """Of what a way not taken rests on the latest left of it: one line says where it branches off."""
    left = [each for each in before[name] if columns[each] < columns[name]]
    return sorted(left, key=lambda each: columns[each])[-1:]


def _path(x1: float, y1: float, x2: float, y2: float) -> str:
    """From the right edge of a box to the left edge of another; straight where they stand in line."""
    start, end = x1 + BOX_WIDTH, x2
    mid1, mid2 = y1 + BOX_HEIGHT / 2, y2 + BOX_HEIGHT / 2
    if mid1 == mid2:
        return f"M{start:g} {mid1:g}H{end:g}"
    bend = end - (COLUMN - BOX_WIDTH) / 2
    round_off = min(12.0, abs(mid2 - mid1) / 2) * (1 if mid2 > mid1 else -1)
    first = f"M{start:g} {mid1:g}H{bend - 12:g}Q{bend:g} {mid1:g} {bend:g} {mid1 + round_off:g}"
    return f"{first}V{mid2 - round_off:g}Q{bend:g} {mid2:g} {end:g} {mid2:g}"


def _broken(text: str, length: int, most: int, first: float) -> list[tuple[float, str]]:
    """A text in at most so many lines with their heights; what does not fit is cut short with an ellipsis."""
    lines = wrap(text, length)
    if len(lines) > most:
        lines = [*lines[: most - 1], shorten(" ".join(lines[most - 1 :]), length, placeholder=" \u2026")]
    return [(first + LINE_STEP * at, line) for at, line in enumerate(lines)]
