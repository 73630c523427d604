"""A corner from above, to scale from its hardpoints, on the sheet of the schematic one. Pure."""

from collections.abc import Callable, Iterable
from itertools import combinations
from math import hypot
from operator import itemgetter

from catalog.codes import LinkEnd, LinkRole, SpringKind
from fitment.drawing.corner import (
    HEIGHT,
    MIDDLE,
    WHEEL_WIDTH,
    WHEEL_X,
    WIDTH,
    CornerDrawing,
    DrawnLine,
    DrawnLocation,
    JointMark,
    Tower,
    corner_layout,
)
from fitment.engineering.corner import Corner, Point

RING_GAP = 44.0  # between the middles of two rings: their numbers fit in between
EDGE = 26.0
STEPS = 200
At = tuple[float, float]


def corner_to_scale(hardpoints: Corner, places: Iterable[DrawnLocation]) -> CornerDrawing:
    """The corner of `hardpoints` (mm) with the joints of its topology, front of the car up, outside left.

    Joints that from above lie over each other have their rings moved apart, each with a leader from where it is. A
    joint of our range without a point of its own stands at the car's centre line, another is left out. The spots
    come in the order of the schematic drawing, so that numbers stay the same; the width of the tyre is nominal.
    """
    at = _Sheet(hardpoints).at
    spring = hardpoints.spring
    lines = tuple(DrawnLine(line.link, *at(line.outer), *at(line.inner)) for line in hardpoints.lines)
    strut = spring.kind is SpringKind.STRUT
    if strut:
        lines += (DrawnLine("strut", *at(spring.low), *at(spring.top)),)
    places = tuple(places)
    points = _points(hardpoints, places, at)
    schematic = corner_layout(place for place in places if place.in_range or place.code in points)
    homeless = [spot.code for spot in schematic.spots if spot.code not in points]
    points |= {code: (WIDTH / 2 - EDGE, HEIGHT - EDGE - RING_GAP * row) for row, code in enumerate(homeless)}
    rings = _apart([points[spot.code] for spot in schematic.spots])
    wheel_x, wheel_y = at(hardpoints.centre)
    radius = abs(at((hardpoints.centre_z - hardpoints.contact[2], 0, 0))[1] - at((0, 0, 0))[1])
    outer = sorted({at(line.outer) for line in hardpoints.lines}, key=itemgetter(1))
    return CornerDrawing(
        lines=lines,
        spots=tuple(_moved(spot, ring) for spot, ring in zip(schematic.spots, rings, strict=True)),
        towers=(Tower("strut" if strut else "spring", *at(spring.top)),),
        leaders=tuple(
            DrawnLine(spot.code, *points[spot.code], *ring)
            for spot, ring in zip(schematic.spots, rings, strict=True)
            if points[spot.code] != ring
        ),
        wheel=(wheel_x - WHEEL_WIDTH / 2, wheel_y - radius, WHEEL_WIDTH, 2 * radius),
        stub=f"M{wheel_x + WHEEL_WIDTH / 2:.1f} {wheel_y:.1f}H{max(wheel_x + WHEEL_WIDTH / 2, outer[0][0]):.1f}",
        upright="M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in outer),
        subframe="",
        arrow_x=WIDTH / 2 - 2 * RING_GAP,
        to_scale=True,
    )


class _Sheet:
    """From mm in the axes of the car (x forward, y left) to the sheet."""

    def __init__(self, hardpoints: Corner) -> None:
        radius = hardpoints.centre_z - hardpoints.contact[2]
        ends = [end for line in hardpoints.lines for end in (line.inner, line.outer)]
        ends += [hardpoints.spring.top, hardpoints.spring.low]
        forward = [end[0] for end in ends] + [hardpoints.contact[0] + side * radius for side in (1, -1)]
        self.middle = (max(forward) + min(forward)) / 2
        wide = (WIDTH / 2 - WHEEL_X - WHEEL_WIDTH / 2) / max(abs(hardpoints.contact[1]), 1.0)
        self.per_mm = min(wide, (HEIGHT - 2 * EDGE) / max(max(forward) - min(forward), 1.0))

    def at(self, point: Point) -> At:
        return round(WIDTH / 2 - point[1] * self.per_mm, 1), round(MIDDLE - (point[0] - self.middle) * self.per_mm, 1)


def _points(hardpoints: Corner, places: Iterable[DrawnLocation], at: Callable[[Point], At]) -> dict[str, At]:
    points: dict[str, At] = {}
    for line in hardpoints.lines:
        points.setdefault(line.inner_location, at(line.inner))
        points.setdefault(line.outer_location, at(line.outer))
    if hardpoints.spring.kind is SpringKind.STRUT:
        for place in places:
            if place.role == LinkRole.VERTICAL and place.link_end == LinkEnd.CHASSIS:
                points.setdefault(place.code, at(hardpoints.spring.top))
    return {code: point for code, point in points.items() if code}


def _apart(points: list[At]) -> list[At]:
    """The points, pushed from each other until all stand `RING_GAP` apart inside the left half of the sheet."""
    rings = [list(_on_sheet(*point)) for point in points]
    for _ in range(STEPS):
        moved = False
        for one, other in combinations(rings, 2):
            across, down = other[0] - one[0], other[1] - one[1]
            away = hypot(across, down)
            if away >= RING_GAP - 0.5:
                continue
            # Of two in one spot the later goes down.
            across, down = (across / away, down / away) if away > 1 else (0.0, 1.0)
            push = (RING_GAP - away) / 2
            for ring, side in ((one, -1), (other, 1)):
                ring[:] = _on_sheet(ring[0] + side * push * across, ring[1] + side * push * down)
            moved = True
        if not moved:
            break
    return [(round(x, 1), round(y, 1)) for x, y in rings]


def _on_sheet(x: float, y: float) -> At:
    return min(max(x, EDGE), WIDTH / 2 - EDGE), min(max(y, EDGE), HEIGHT - EDGE)


def _moved(spot: JointMark, ring: At) -> JointMark:
    """The spot of the schematic drawing at another place, its number on the same side of it."""
    x, y = ring
    return JointMark(spot.code, x, y, x + spot.label_x - spot.x, y + spot.label_y - spot.y, spot.anchor)
