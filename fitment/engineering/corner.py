"""One suspension corner as upright and links: which forces hold it, and what each joint carries.

ISO 8855 axes (x forward, y left, z up), left corner, mm and N. Upright, wheel and outboard brake are one body.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.codes import SpringKind
from fitment.engineering.errors import SingularCorner

Vector = NDArray[np.float64]
_LENGTH_MM = 300.0  # moments are weighed by the size of a corner, so that conditioning means something
_SINGULAR = 1e-9


@dataclass(frozen=True)
class Line:
    """A link as the line through its two ends, mm; locations are empty where none is recorded."""

    link: str
    inner: tuple[float, float, float]
    outer: tuple[float, float, float]
    inner_location: str = ""
    outer_location: str = ""


@dataclass(frozen=True)
class Spring:
    """The spring from its top to its low end, mm; ``link`` names the line that carries it."""

    kind: SpringKind
    top: tuple[float, float, float]
    low: tuple[float, float, float]
    link: str = ""


@dataclass(frozen=True)
class Corner:
    """Links, spring and wheel of the left corner, mm; the top mount of a strut in N/mm."""

    lines: tuple[Line, ...]
    spring: Spring
    contact: tuple[float, float, float]
    centre_z: float
    top_mount_n_mm: float | None = None

    @property
    def centre(self) -> tuple[float, float, float]:
        """The wheel centre, above the contact point, in mm."""
        return self.contact[0], self.contact[1], self.centre_z

    @property
    def modelled(self) -> bool:
        """Whether it is a strut with three lines, or five lines without."""
        if self.spring.kind is SpringKind.STRUT:
            return len(self.lines) == 3
        carried = self.spring.kind is SpringKind.UPRIGHT or any(line.link == self.spring.link for line in self.lines)
        return len(self.lines) == 5 and carried


@dataclass(frozen=True)
class JointName:
    """A joint of the corner; ``link`` is ``a+b`` for the ball joint that two lines share."""

    link: str
    end: str
    location: str


TOP_MOUNT = JointName("top_mount", "inner", "top_mount")


@dataclass(frozen=True)
class Held:
    """What holds the corner against one load: tension of each line, spring (compression positive), joints, in N."""

    lines: tuple[tuple[str, float], ...]
    spring_n: float
    joints: tuple[tuple[JointName, Vector], ...]
    top_mount: Vector | None


class Statics:
    """The six equations of one corner, ready to be asked for any load.

    ``unknowns``: tension of each line (it pulls the upright towards the inner end), spring force, and for a strut
    two forces square to it at its top.
    """

    def __init__(self, corner: Corner) -> None:
        self.corner = corner
        spring = corner.spring
        self.towards = [_unit(np.subtract(line.inner, line.outer)) for line in corner.lines]
        self.pushes = _unit(np.subtract(spring.low, spring.top))
        columns = [self.wrench(towards, line.outer) for line, towards in zip(corner.lines, self.towards, strict=True)]
        self.sides: list[Vector] = []
        if spring.kind is SpringKind.LINK:
            self.carried = _carried(corner, self.pushes)
            columns.append(self.wrench(self.carried.on_upright, self.carried.line.outer))
        else:
            columns.append(self.wrench(self.pushes, spring.low))
        if spring.kind is SpringKind.STRUT:
            self.sides = _square_to(self.pushes)
            columns += [self.wrench(side, spring.top) for side in self.sides]
        matrix = np.column_stack(columns)
        weighed = matrix / np.repeat([1.0, _LENGTH_MM], 3)[:, None]
        if matrix.shape != (6, 6) or np.linalg.cond(weighed) > 1 / _SINGULAR:
            raise SingularCorner("the links of this corner do not hold its upright in every direction")
        self.solution = -np.linalg.inv(matrix)

    def wrench(self, force: Vector | tuple[float, float, float], point: tuple[float, float, float]) -> Vector:
        """Force in N and its moment about the wheel centre in N mm, of a force at a point."""
        arm = np.subtract(point, self.corner.centre)
        return np.concatenate([np.asarray(force, dtype=float), np.cross(arm, force)])

    @cached_property
    def joints(self) -> tuple[tuple[JointName, Vector], ...]:
        """Every joint with the 3 x 6 matrix that gives its force (N) from the unknowns."""
        maps: dict[JointName, Vector] = {}
        outer_names = outer_joints(self.corner.lines)
        for at, (line, towards) in enumerate(zip(self.corner.lines, self.towards, strict=True)):
            inner, outer = JointName(line.link, "inner", line.inner_location), outer_names[line.link]
            for name in (inner, outer):
                maps.setdefault(name, np.zeros((3, 6)))[:, at] += towards
        spring_at = len(self.corner.lines)
        if self.corner.spring.kind is SpringKind.LINK:
            maps[outer_names[self.carried.line.link]][:, spring_at] += self.carried.on_upright
            for line, force in self.carried.at_inner:
                maps[JointName(line.link, "inner", line.inner_location)][:, spring_at] += force
        if self.sides:
            top = np.zeros((3, 6))
            top[:, spring_at + 1], top[:, spring_at + 2] = self.sides
            maps[TOP_MOUNT] = top
        return tuple(maps.items())

    def held(self, external: Vector) -> Held:
        """What holds a load, given as force and moment about the wheel centre (N, N mm), all in N."""
        unknowns = self.solution @ external
        lines = self.corner.lines
        top = None
        if self.sides:
            top = unknowns[len(lines) + 1] * self.sides[0] + unknowns[len(lines) + 2] * self.sides[1]
        return Held(
            lines=tuple((line.link, float(unknowns[at])) for at, line in enumerate(lines)),
            spring_n=float(unknowns[len(lines)]),
            joints=tuple((name, matrix @ unknowns) for name, matrix in self.joints),
            top_mount=top,
        )


def forces_at_contact(corner: Corner, force: tuple[float, float, float]) -> Held:
    """What holds a force at the contact patch.

    Parameters
    ----------
    corner : geometry in mm
    force : on the wheel from the road, in N (x forward, y left, z up)

    Returns
    -------
    tensions, spring and joint forces in N

    Raises
    ------
    SingularCorner : no single set of forces holds it

    Notes
    -----
    Links are two-force members, but for one that carries the spring; joints do not resist turning; outboard brake.
    An estimate for comparing designs, not a proof of strength.

    References
    ----------
    Equilibrium of the upright, six equations; ISO 8855:2011 axes.

    Examples
    --------
    >>> lines = (Line("a", (500, 700, 150), (0, 700, 150)), Line("b", (400, 700, 450), (0, 700, 450)),
    ...          Line("c", (0, 300, 150), (0, 700, 150)), Line("d", (0, 350, 450), (0, 700, 450)),
    ...          Line("e", (-150, 300, 150), (-150, 700, 150)))
    >>> spring = Spring(SpringKind.UPRIGHT, (0, 700, 600), (0, 700, 300))
    >>> held = forces_at_contact(Corner(lines, spring, (0, 750, 0), 320), (-4000, 0, 5000))
    >>> [round(force) for _, force in held.lines], round(held.spring_n)
    ([6000, -2000, 2167, -833, -1333], 5000)
    """
    statics = Statics(corner)
    return statics.held(statics.wrench(force, corner.contact))


def outer_joints(lines: tuple[Line, ...]) -> dict[str, JointName]:
    """The outer joint of each line; lines that meet in one point share it.

    Parameters
    ----------
    lines : links with their outer points, mm

    Returns
    -------
    joint by link; a shared one is named ``a+b``, at the first location recorded for it

    Notes
    -----
    Lines share a joint when their outer points are recorded alike to the last figure (mm) and are not recorded as
    different locations.

    References
    ----------
    Definition of the project: a triangular arm is two lines through its ball joint.

    Examples
    --------
    >>> arm = (Line("a", (300, 400, 200), (0, 700, 200)), Line("b", (-300, 400, 200), (0, 700, 200)))
    >>> outer_joints(arm)["b"].link
    'a+b'
    """
    names = {}
    for line in lines:
        sharing = [one for one in lines if _share_joint(one, line)]
        location = next((one.outer_location for one in sharing if one.outer_location), "")
        names[line.link] = JointName("+".join(one.link for one in sharing), "outer", location)
    return names


@dataclass(frozen=True)
class _Carried:
    """A spring on a link, for one N of it: its force on the upright, and on the car's side of each inner joint."""

    line: Line
    on_upright: Vector
    at_inner: tuple[tuple[Line, Vector], ...]


def _carried(corner: Corner, pushes: Vector) -> _Carried:
    line = next(line for line in corner.lines if line.link == corner.spring.link)
    others = (one for one in corner.lines if one is not line and _share_joint(one, line))
    other = next(others, None)
    seat = np.subtract(corner.spring.low, line.inner)
    along = np.subtract(line.outer, line.inner)
    moment = np.cross(seat, pushes)
    if other is None:
        on_upright = np.cross(moment, along) / (along @ along)
        return _Carried(line, on_upright, ((line, on_upright - pushes),))
    # The arm turns about the line through both inner ends; what it gives the upright is square to its plane.
    axis = np.subtract(other.inner, line.inner)
    square = _unit(np.cross(axis, along))
    on_upright = square * (axis @ moment) / (axis @ np.cross(along, square))
    rest = on_upright - pushes
    unbalanced = moment - np.cross(along, on_upright)
    # Along the axis nothing decides how the two inner joints share: half each.
    at_other = np.cross(axis, unbalanced) / (axis @ axis) + axis * (axis @ rest) / (axis @ axis) / 2
    return _Carried(line, on_upright, ((line, rest - at_other), (other, at_other)))


def _share_joint(one: Line, other: Line) -> bool:
    same_place = one.outer_location == other.outer_location
    return one.outer == other.outer and (same_place or not (one.outer_location and other.outer_location))


def _unit(vector: Vector) -> Vector:
    length = float(np.linalg.norm(vector))
    if length < _SINGULAR:
        raise SingularCorner("a link, or an arm's axis, has no length")
    return np.asarray(vector / length)


def _square_to(axis: Vector) -> list[Vector]:
    """Two directions square to an axis and to each other."""
    first = _unit(np.cross(axis, [0.0, 1.0, 0.0] if abs(axis[1]) < 0.9 else [1.0, 0.0, 0.0]))
    return [first, np.cross(axis, first)]
