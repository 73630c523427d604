"""A corner to scale from its hardpoints, from above and from behind, in ISO 8855 axes. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import SpringKind
from fitment.drawing.labels import Label, Line, placed
from fitment.engineering.corner import Corner

WIDTH, MARGIN, FOOT = 480.0, 34.0, 30.0
BAR_MM = 100.0
Point = tuple[float, float, float]


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
    def line(self) -> Line:
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
    labels = placed(links, others, WIDTH, height - FOOT)
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
