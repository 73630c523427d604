"""Names beside lines, each where it covers least: other names first, then ends of lines, then lines. Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

SIGN, HEIGHT = 7.2, 15.0  # of a sign of the drawing's type, in units of the view box
GAP = 9.0
STEPS = 60
OTHER_NAME, END_OF_LINE, LINE = 1000, 30, 1

Line = tuple[float, float, float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Label:
    """A name from `x` on at the base line `y`."""

    text: str
    x: float
    y: float

    @property
    def box(self) -> Box:
        """Left, top, right, bottom."""
        return self.x, self.y - HEIGHT + 3, self.x + SIGN * len(self.text), self.y + 3


def placed(named: Sequence[tuple[str, Line]], others: Iterable[Line], width: float, height: float) -> list[Label]:
    """A label for each named line, inside the sheet; `others` are lines without a name of their own."""
    lines = [*(line for _, line in named), *others]
    ends = [point for x1, y1, x2, y2 in lines for point in ((x1, y1), (x2, y2))]
    points = [point for line in lines for point in _along(line)]
    found: list[Label] = []
    for text, line in named:
        near = [label for label in _candidates(text, line) if _inside(label.box, width, height)]
        found.append(min(near or _candidates(text, line), key=lambda label: _covered(label, found, ends, points)))
    return found


def _candidates(text: str, line: Line) -> list[Label]:
    """Beside either end and along the line, above it and below; those named first are liked best."""
    x1, y1, x2, y2 = line
    long = SIGN * len(text)
    spots = [
        (x1 - long - GAP, y1),
        (x1 + GAP, y1 + 5),
        (x1 - long / 2, y1),
        (x2 - long - GAP, y2 + 5),
        (x2 - long / 2, y2),
    ]
    spots += [(x1 + (x2 - x1) * part - long / 2, y1 + (y2 - y1) * part) for part in (0.25, 0.5, 0.75)]
    return [
        Label(text, x, y + off) for off in (-GAP, GAP + HEIGHT - 4, -2 * GAP - 4, 2 * GAP + HEIGHT) for x, y in spots
    ]


def _covered(
    label: Label, names: Sequence[Label], ends: Sequence[tuple[float, float]], points: Sequence[tuple[float, float]]
) -> int:
    box = label.box
    return (
        OTHER_NAME * sum(_overlap(box, other.box) for other in names)
        + END_OF_LINE * sum(_holds(box, point) for point in ends)
        + LINE * sum(_holds(box, point) for point in points)
    )


def _along(line: Line) -> list[tuple[float, float]]:
    x1, y1, x2, y2 = line
    return [(x1 + (x2 - x1) * at / STEPS, y1 + (y2 - y1) * at / STEPS) for at in range(STEPS + 1)]


def _holds(box: Box, point: tuple[float, float]) -> bool:
    left, top, right, bottom = box
    return left - 4 <= point[0] <= right + 4 and top - 4 <= point[1] <= bottom + 4


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _inside(box: Box, width: float, height: float) -> bool:
    return box[0] >= 0 and box[1] >= 0 and box[2] <= width and box[3] <= height
