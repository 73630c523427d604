"""A corner to scale from its hardpoints, from above and from behind, in ISO 8855 axes. Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from catalog.codes import SpringKind
from fitment.drawing.corner import Rectangle
from fitment.engineering.corner import Corner, Point

WIDTH, MARGIN, FOOT = 480.0, 34.0, 30.0
BAR_MM = 100.0
_SIGN, _LABEL_HEIGHT = 7.2, 15.0  # of a sign of the drawing's type, in units of the view box
_GAP = 9.0
_STEPS = 60
_OTHER_NAME, _END_OF_LINE, _LINE = 1000, 30, 1  # how much it costs a name to cover one

Segment = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Label:
    """A name from `x` on at the base line `y`."""

    text: str
    x: float
    y: float

    @property
    def box(self) -> Rectangle:
        """Left, top, right, bottom."""
        return self.x, self.y - _LABEL_HEIGHT + 3, self.x + _SIGN * len(self.text), self.y + 3


@dataclass(frozen=True, slots=True)
class Stroke:
    """A link, the spring or the wheel's middle plane: its ends, `kind` and name."""

    kind: str
    name: str
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def line(self) -> Segment:
        return self.x1, self.y1, self.x2, self.y2


@dataclass(frozen=True, slots=True)
class ScaledView:
    """In units of the view box `width` x `height`; `bar` is the drawn length of 100 mm."""

    name: str
    height: float
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    contact: tuple[float, float]
    bar: float
    up: str

    width = WIDTH
    margin = MARGIN

    @property
    def bar_y(self) -> float:
        return self.height - 12

    @property
    def bar_end(self) -> float:
        return MARGIN + self.bar


def views(corner: Corner) -> tuple[ScaledView, ScaledView]:
    """From above (forward is up) and from behind (the car's left is left), both at one scale."""
    spans = [end[1] for _, _, *ends in _lines(corner) for end in ends]
    scale = (WIDTH - 2 * MARGIN) / max(max(spans) - min(spans), 1.0)
    deep = [end[0] for _, _, *ends in _lines(corner) for end in ends]
    tall = [end[2] for _, _, *ends in _lines(corner) for end in ends]
    # A long trailing link must not make the sheet endless: the deeper of both views is at most one and a half wide.
    scale = min(scale, 1.5 * WIDTH / max(max(deep) - min(deep), max(tall) - min(tall), 1.0))
    return _view("From above", corner, scale, 0, "front"), _view("From behind", corner, scale, 2, "up")


def _view(name: str, corner: Corner, scale: float, axis: int, up: str) -> ScaledView:
    lines = list(_lines(corner))
    ends = [end for _, _, *both in lines for end in both]
    left, top = max(end[1] for end in ends), max(end[axis] for end in ends)
    bottom = min(end[axis] for end in ends)

    def at(point: Sequence[float]) -> tuple[float, float]:
        return MARGIN + (left - point[1]) * scale, MARGIN + (top - point[axis]) * scale

    strokes = tuple(Stroke(kind, called, *at(first), *at(last)) for kind, called, first, last in lines)
    height = 2 * MARGIN + (top - bottom) * scale + FOOT
    links = [(one.name.replace("_", " "), one.line) for one in strokes if one.kind == "link"]
    others = [one.line for one in strokes if one.kind != "link"]
    labels = _placed(links, others, WIDTH, height - FOOT)
    return ScaledView(name, height, strokes, tuple(labels), at(corner.contact), BAR_MM * scale, up)


def _lines(corner: Corner) -> list[tuple[str, str, Point, Point]]:
    found: list[tuple[str, str, Point, Point]] = [("link", line.link, line.inner, line.outer) for line in corner.lines]
    spring = corner.spring
    found.append(("spring", "strut" if spring.kind is SpringKind.STRUT else "spring", spring.top, spring.low))
    x, y, low = corner.contact
    radius = corner.centre_z - low
    found.append(("wheel", "wheel", (x - radius, y, corner.centre_z), (x + radius, y, corner.centre_z)))
    found.append(("wheel", "wheel", (x, y, low), (x, y, low + 2 * radius)))
    return found


def _placed(
    named: Sequence[tuple[str, Segment]], others: Iterable[Segment], width: float, height: float
) -> list[Label]:
    """A label for each named line, inside the sheet; `others` are lines without a name of their own."""
    lines = [*(line for _, line in named), *others]
    ends = [point for x1, y1, x2, y2 in lines for point in ((x1, y1), (x2, y2))]
    points = [point for line in lines for point in _along(line)]
    found: list[Label] = []
    for text, line in named:
        near = [label for label in _candidates(text, line) if _inside(label.box, width, height)]
        found.append(min(near or _candidates(text, line), key=lambda label: _covered(label, found, ends, points)))
    return found


def _candidates(text: str, line: Segment) -> list[Label]:
    """Beside either end and along the line, above it and below; those named first are liked best."""
    x1, y1, x2, y2 = line
    long = _SIGN * len(text)
    spots = [
        (x1 - long - _GAP, y1),
        (x1 + _GAP, y1 + 5),
        (x1 - long / 2, y1),
        (x2 - long - _GAP, y2 + 5),
        (x2 - long / 2, y2),
    ]
    spots += [(x1 + (x2 - x1) * part - long / 2, y1 + (y2 - y1) * part) for part in (0.25, 0.5, 0.75)]
    return [
        Label(text, x, y + off)
        for off in (-_GAP, _GAP + _LABEL_HEIGHT - 4, -2 * _GAP - 4, 2 * _GAP + _LABEL_HEIGHT)
        for x, y in spots
    ]


def _covered(
    label: Label, names: Sequence[Label], ends: Sequence[tuple[float, float]], points: Sequence[tuple[float, float]]
) -> int:
    box = label.box
    return (
        _OTHER_NAME * sum(_overlap(box, other.box) for other in names)
        + _END_OF_LINE * sum(_holds(box, point) for point in ends)
        + _LINE * sum(_holds(box, point) for point in points)
    )


def _along(line: Segment) -> list[tuple[float, float]]:
    x1, y1, x2, y2 = line
    return [(x1 + (x2 - x1) * at / _STEPS, y1 + (y2 - y1) * at / _STEPS) for at in range(_STEPS + 1)]


def _holds(box: Rectangle, point: tuple[float, float]) -> bool:
    left, top, right, bottom = box
    return left - 4 <= point[0] <= right + 4 and top - 4 <= point[1] <= bottom + 4


def _overlap(one: Rectangle, other: Rectangle) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _inside(box: Rectangle, width: float, height: float) -> bool:
    return box[0] >= 0 and box[1] >= 0 and box[2] <= width and box[3] <= height
