"""Corner diagram: one end of a car from above, from the locations of its topology (schematic, not to scale).

The left corner is laid out; the template mirrors it. Front of the car is up, outside is left. Drawing units are
those of the SVG view box: `WIDTH` x `HEIGHT` for both corners, the car's centre line at `WIDTH` / 2.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from catalog.codes import LinkEnd, LinkRole

WIDTH, HEIGHT = 800.0, 400.0
WHEEL_X, WHEEL_WIDTH, WHEEL_LENGTH = 20.0, 44.0, 150.0
MIDDLE = HEIGHT / 2
UPRIGHT_X, UPRIGHT_TOP, UPRIGHT_FOOT = 118.0, 122.0, 278.0
RAIL_X, RAIL_TOP, RAIL_FOOT = 316.0, 92.0, 344.0
FORWARD_Y = 44.0
TOWER_X = 190.0
_INNER_ENDS = (LinkEnd.CHASSIS, LinkEnd.SUBFRAME)
_FRAMES = ("subframe", "axle_carrier", "cradle")
_LABEL_GAP = 20.0
# From the front of the car to its rear: what leads forward stands first, what steers last.
_ROLE_ORDER = (LinkRole.BRAKING, LinkRole.MIXED, LinkRole.LATERAL, LinkRole.STEERING, LinkRole.VERTICAL)
_END_ORDER = {"front": 0, "upper": 0, "inner": 1, "outer": 1, "lower": 2, "rear": 2}


@dataclass(frozen=True, slots=True)
class DrawnLocation:
    """One location of a topology, as far as it is drawn."""

    code: str
    link: str
    link_end: str
    role: str
    in_range: bool = True


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A link, or one leg of a triangular arm; `vertical` ones are seen from their end."""

    link: str
    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class JointMark:
    """A joint: where its ring stands and where its number does (`anchor` is that of SVG text)."""

    code: str
    x: float
    y: float
    label_x: float
    label_y: float
    anchor: str


@dataclass(frozen=True, slots=True)
class Tower:
    """A strut, spring or damper seen from its top."""

    link: str
    x: float
    y: float


Rectangle = tuple[float, float, float, float]
"""Left, top, width, height."""
_WHEEL = (WHEEL_X, MIDDLE - WHEEL_LENGTH / 2, WHEEL_WIDTH, WHEEL_LENGTH)
_SUBFRAME = (
    f"M{WIDTH / 2:g} {RAIL_TOP:g}H{RAIL_X + 12:g}Q{RAIL_X:g} {RAIL_TOP:g} {RAIL_X:g} {RAIL_TOP + 12:g}"
    f"V{RAIL_FOOT - 12:g}Q{RAIL_X:g} {RAIL_FOOT:g} {RAIL_X + 12:g} {RAIL_FOOT:g}H{WIDTH / 2:g}"
)


@dataclass(frozen=True, slots=True)
class CornerDrawing:
    """The left corner, in drawing units. `spots` are in the order of their numbers.

    A `leader` leads from the point where a joint is to the ring of its spot, where that stands beside it. `stub`
    (wheel to upright), `upright` and `subframe` are SVG paths; a drawing to scale knows no subframe.
    """

    lines: tuple[DrawnLine, ...]
    spots: tuple[JointMark, ...]
    towers: tuple[Tower, ...]
    leaders: tuple[DrawnLine, ...] = ()
    wheel: Rectangle = _WHEEL
    stub: str = f"M{WHEEL_X + WHEEL_WIDTH:g} {MIDDLE:g}H{UPRIGHT_X:g}"
    upright: str = f"M{UPRIGHT_X:g} {UPRIGHT_TOP:g}V{UPRIGHT_FOOT:g}"
    subframe: str = _SUBFRAME
    arrow_x: float = WHEEL_X + WHEEL_WIDTH / 2
    to_scale: bool = False

    # The sheet is the same for all.
    width = WIDTH
    height = HEIGHT
    centre_x = WIDTH / 2

    @property
    def tread(self) -> str:
        """Two lines along the tyre."""
        left, top, width, length = self.wheel
        ends = f"{top + 11:.1f}V{top + length - 11:.1f}"
        return "".join(f"M{left + width * share:.1f} {ends}" for share in (0.32, 0.68))


@dataclass(frozen=True, slots=True)
class _Link:
    name: str
    role: str
    inner: tuple[DrawnLocation, ...]
    outer: tuple[DrawnLocation, ...]
    on_link: tuple[DrawnLocation, ...]

    @property
    def stands(self) -> bool:
        """A strut, spring or damper: it takes vertical force and neither end is at the subframe."""
        clear = all(place.link_end != LinkEnd.SUBFRAME for place in self.inner)
        return self.role == LinkRole.VERTICAL and clear and not self.is_frame

    @property
    def is_frame(self) -> bool:
        """The subframe itself, whose joints are its mounts in the body."""
        return self.name in _FRAMES

    @property
    def leads_forward(self) -> bool:
        if len(self.inner) > 1 or self.on_link:
            return False
        ahead = any(_end_rank(place.code) == 0 for place in self.inner)
        return self.role == LinkRole.BRAKING or (ahead and not self.outer)

    @property
    def rail_slots(self) -> int:
        """Places at the subframe: one for each inner joint, and one for a bare end where none is recorded."""
        if self.leads_forward:
            return 0
        return len(self.inner) or (0 if self.on_link else 1)

    @property
    def joints(self) -> tuple[DrawnLocation, ...]:
        return (*self.inner, *self.on_link, *self.outer)


def corner_layout(places: Iterable[DrawnLocation]) -> CornerDrawing:
    """Where each joint of a topology stands in the corner diagram.

    Links are spread along the upright and the subframe in the order of their role, so that they do not cross: what
    takes braking leads forward, what steers lies rearmost, struts and springs stand inside the upright and are seen
    from the top. Joints of one link that a topology does not record end in a bare line.

    Notes: schematic; positions say which link and which end, never lengths or angles. The same places in any order
    give the same drawing.

    >>> corner = corner_layout([DrawnLocation("tension_link.inner", "tension_link", "subframe", "braking")])
    >>> [(spot.code, spot.y < MIDDLE) for spot in corner.spots], len(corner.lines)
    ([('tension_link.inner', True)], 1)
    """
    links = _links(places)
    planar = [link for link in links if not link.stands and not link.is_frame]
    standing = [link for link in links if link.stands]
    lines: list[DrawnLine] = []
    spots: list[JointMark] = []
    towers: list[Tower] = []

    outer_ys = dict(zip(planar, _spread(len(planar), UPRIGHT_TOP + 16, UPRIGHT_FOOT - 16), strict=True))
    rail_ys = iter(_spread(sum(link.rail_slots for link in planar), RAIL_TOP + 28, RAIL_FOOT - 18))
    forward_xs = iter(_spread(sum(link.leads_forward for link in planar), 236.0, 300.0, alone=262.0))
    # What sits on another link is placed when the others are there.
    for link in sorted(planar, key=lambda link: bool(link.on_link)):
        outer = (UPRIGHT_X, outer_ys[link])
        inner_ends = _inner_points(link, rail_ys, forward_xs, lines, outer[1])
        lines += [DrawnLine(link.name, *outer, *point) for point in inner_ends]
        spots += [_beside(place, *outer, left=True) for place in link.outer[:1]]
        # A second joint at the same end is rare: it is drawn next to the first.
        spots += [
            _beside(place, UPRIGHT_X + 34 * at, outer[1], left=False)
            for at, place in enumerate(link.outer[1:], start=1)
        ]
        at_inner_ends = (*link.inner, *link.on_link)
        spots += [_beside(place, *point, left=False) for place, point in zip(at_inner_ends, inner_ends, strict=False)]

    for link in (link for link in links if link.is_frame):
        ys = _spread(len(link.joints), RAIL_TOP, RAIL_FOOT, alone=RAIL_TOP)
        spots += [_beside(place, RAIL_X + 34, y, left=False) for place, y in zip(link.joints, ys, strict=True)]

    for link, y in zip(standing, _spread(len(standing), MIDDLE - 28, MIDDLE + 62), strict=True):
        points = [(TOWER_X + 44 * step, y) for step, _ in enumerate(link.joints)]
        towers.append(Tower(link.name, TOWER_X, y))
        lines += [DrawnLine(link.name, *a, *b) for a, b in pairwise(points)]
        spots += [_beside(place, *point, left=False) for place, point in zip(link.joints, points, strict=True)]
    return CornerDrawing(tuple(lines), tuple(spots), tuple(towers))


def _links(places: Iterable[DrawnLocation]) -> list[_Link]:
    by_link: dict[str, list[DrawnLocation]] = {}
    for place in sorted(places, key=lambda place: (_end_rank(place.code), place.code)):
        by_link.setdefault(place.link, []).append(place)
    links = [
        _Link(
            name=name,
            role=_role(members),
            inner=tuple(place for place in members if place.link_end in _INNER_ENDS),
            outer=tuple(place for place in members if place.link_end in (LinkEnd.UPRIGHT, LinkEnd.STRUT)),
            on_link=tuple(place for place in members if place.link_end == LinkEnd.LINK),
        )
        for name, members in by_link.items()
    ]
    return sorted(links, key=lambda link: (_ROLE_ORDER.index(link.role), link.name))


def _role(members: Sequence[DrawnLocation]) -> str:
    """The role of a link as a whole: an arm that takes braking and side forces lies between both."""
    roles = {place.role for place in members if place.role in _ROLE_ORDER}
    return roles.pop() if len(roles) == 1 else LinkRole.MIXED


def _end_rank(code: str) -> int:
    return _END_ORDER.get(code.rsplit(".", 1)[-1].rsplit("_", 1)[-1], 1)


def _spread(count: int, first: float, last: float, alone: float | None = None) -> list[float]:
    """Evenly from the first to the last; one alone stands in the middle, or where it is said."""
    if count == 1:
        return [(first + last) / 2 if alone is None else alone]
    return [round(first + (last - first) * step / (count - 1), 1) for step in range(count)]


def _inner_points(
    link: _Link, rail_ys: Iterator[float], forward_xs: Iterator[float], on_paper: Sequence[DrawnLine], outer_y: float
) -> list[tuple[float, float]]:
    at_car = [(next(forward_xs), FORWARD_Y)] if link.leads_forward else []
    at_car += [(RAIL_X, next(rail_ys)) for _ in range(link.rail_slots)]
    return at_car + [_halfway(on_paper, outer_y, step) for step, _ in enumerate(link.on_link)]


def _halfway(on_paper: Sequence[DrawnLine], outer_y: float, step: int) -> tuple[float, float]:
    """A point on the link that ends nearest at the upright, for a joint that sits on another link."""
    share = 0.45 + 0.2 * step
    if not on_paper:
        return (UPRIGHT_X + 90 + 40 * step, outer_y)
    line = min(on_paper, key=lambda line: (abs(line.y1 - outer_y), line.y2))
    return (round(line.x1 + share * (line.x2 - line.x1), 1), round(line.y1 + share * (line.y2 - line.y1), 1))


def _beside(place: DrawnLocation, x: float, y: float, *, left: bool) -> JointMark:
    gap = -_LABEL_GAP if left else _LABEL_GAP
    return JointMark(place.code, x, y, x + gap, y + 5, "end" if left else "start")
