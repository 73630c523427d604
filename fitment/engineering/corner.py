"""One suspension corner as upright and links: which forces hold it, and what each joint carries.

ISO 8855 axes (x forward, y left, z up), left corner, mm and N. Upright, wheel and outboard brake are one body.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from catalog.codes import JointEnd, SpringKind
from fitment.answers.contract import INLINE, As, Named
from fitment.engineering.errors import SingularCorner

Vector = NDArray[np.float64]
Force = tuple[float, float, float]
"""In N along x, y and z."""
Point = tuple[float, float, float]
_LENGTH_MM = 300.0  # moments are weighed by the size of a corner, so that conditioning means something
_SINGULAR = 1e-9


@dataclass(frozen=True)
class JointName:
    """A joint of the corner; ``link`` is ``a+b`` for the ball joint that two lines share."""

    link: str
    end: Annotated[JointEnd | str, As(JointEnd, JointEnd)]
    location: str


TOP_MOUNT = JointName("top_mount", JointEnd.INNER, "top_mount")


@dataclass(frozen=True)
class LinkLine:
    """A link as the line through its two ends, mm; locations are empty where none is recorded."""

    link: str
    inner: Point
    outer: Point
    inner_location: str = ""
    outer_location: str = ""

    @property
    def inner_joint(self) -> JointName:
        return JointName(self.link, JointEnd.INNER, self.inner_location)

    def shares_joint(self, other: "LinkLine") -> bool:
        """Whether the outer points are recorded alike, and not as different locations."""
        same_place = self.outer_location == other.outer_location
        return self.outer == other.outer and (same_place or not (self.outer_location and other.outer_location))


@dataclass(frozen=True)
class Spring:
    """The spring from its top to its low end, mm; ``link`` names the line that carries it."""

    kind: SpringKind
    top: Point
    low: Point
    link: str = ""

    @property
    def sides(self) -> tuple[Vector, Vector]:
        """Two directions square to the spring and to each other."""
        axis = _unit(np.subtract(self.low, self.top))
        first = _unit(np.cross(axis, [0.0, 1.0, 0.0] if abs(axis[1]) < 0.9 else [1.0, 0.0, 0.0]))
        return first, np.cross(axis, first)


@dataclass(frozen=True)
class Corner:
    """Links, spring and wheel of the left corner, mm; the top mount of a strut in N/mm."""

    lines: tuple[LinkLine, ...]
    spring: Spring
    contact: Point
    centre_z: float
    top_mount_n_mm: float | None = None

    @property
    def centre(self) -> Point:
        """The wheel centre, above the contact point, in mm."""
        return self.contact[0], self.contact[1], self.centre_z

    @property
    def modelled(self) -> bool:
        """Whether it is a strut with three lines, or five lines without."""
        if self.spring.kind is SpringKind.STRUT:
            return len(self.lines) == 3
        carried = self.spring.kind is SpringKind.UPRIGHT or any(line.link == self.spring.link for line in self.lines)
        return len(self.lines) == 5 and carried


EXAMPLE_CORNER = Corner(
    (
        LinkLine("a", (500, 700, 150), (0, 700, 150), "a.inner"),
        LinkLine("b", (400, 700, 450), (0, 700, 450)),
        LinkLine("c", (0, 300, 150), (0, 700, 150)),
        LinkLine("d", (0, 350, 450), (0, 700, 450)),
        LinkLine("e", (-150, 300, 150), (-150, 700, 150)),
    ),
    Spring(SpringKind.UPRIGHT, (0, 700, 600), (0, 700, 300)),
    contact=(0, 750, 0),
    centre_z=320,
)
"""Five links and a spring on the upright: what the examples of this and the next modules compute."""


@dataclass(frozen=True)
class LinkForce:
    """The force along a link in N; tension is positive."""

    link: str
    force_n: float


@dataclass(frozen=True)
class JointForce:
    """The size of the force that a joint carries, in N."""

    joint: Annotated[JointName, INLINE]
    force_n: float


def _link_forces(lines: Iterable[tuple[str, float]]) -> list[LinkForce]:
    return [LinkForce(link, force) for link, force in lines]


def _joint_forces(joints: Iterable[tuple[JointName, Vector]]) -> list[JointForce]:
    return [JointForce(joint, float(np.linalg.norm(force))) for joint, force in joints]


def _components(force: Vector) -> list[float]:
    return [float(part) for part in force]


@dataclass(frozen=True)
class Reactions:
    """What holds the corner against one load: tension of each line, spring (compression positive), joints, in N."""

    lines: Annotated[tuple[tuple[str, float], ...], Named("links"), As(_link_forces, tuple[LinkForce, ...])]
    spring_n: float
    joints: Annotated[tuple[tuple[JointName, Vector], ...], As(_joint_forces, tuple[JointForce, ...])]
    top_mount: Annotated[Vector | None, Named("top_mount_n"), As(_components, tuple[float, float, float])]

    def force_n(self, joint: JointName) -> float:
        """What a joint carries, whatever its direction."""
        return float(np.linalg.norm(dict(self.joints)[joint]))


class Statics:
    """The six equations of one corner, ready to be asked for any load.

    ``unknowns``: tension of each line (it pulls the upright towards the inner end), spring force, and for a strut
    two forces square to it at its top. Links are two-force members, but for one that carries the spring; joints do
    not resist turning. Raises SingularCorner where no single set of forces holds a load.

    References: equilibrium of the upright, six equations (any text on statics); ISO 8855:2011 axes.

    >>> statics = Statics(EXAMPLE_CORNER)
    >>> found = statics.reactions(statics.wrench((-4000, 0, 5000), EXAMPLE_CORNER.contact))
    >>> [round(force) for _, force in found.lines], round(found.spring_n)
    ([6000, -2000, 2167, -833, -1333], 5000)
    """

    def __init__(self, corner: Corner) -> None:
        self.corner = corner
        spring = corner.spring
        self.pulls = [_unit(np.subtract(line.inner, line.outer)) for line in corner.lines]
        self.pushes = _unit(np.subtract(spring.low, spring.top))
        self.sides = spring.sides if spring.kind is SpringKind.STRUT else ()
        columns = [self.wrench(pull, line.outer) for line, pull in zip(corner.lines, self.pulls, strict=True)]
        if spring.kind is SpringKind.LINK:
            self.on_link = _spring_on_link(corner, self.pushes)
            columns.append(self.wrench(self.on_link.on_upright, self.on_link.line.outer))
        else:
            columns.append(self.wrench(self.pushes, spring.low))
        columns += [self.wrench(side, spring.top) for side in self.sides]
        matrix = np.column_stack(columns)
        weighed = matrix / np.repeat([1.0, _LENGTH_MM], 3)[:, None]
        if matrix.shape != (6, 6) or np.linalg.cond(weighed) > 1 / _SINGULAR:
            raise SingularCorner("the links of this corner do not hold its upright in every direction")
        self.solution = -np.linalg.inv(matrix)

    def wrench(self, force: Vector | Force, point: Point) -> Vector:
        """Force in N and its moment about the wheel centre in N mm, of a force at a point."""
        arm = np.subtract(point, self.corner.centre)
        return np.concatenate([np.asarray(force, dtype=float), np.cross(arm, force)])

    @cached_property
    def joints(self) -> tuple[tuple[JointName, Vector], ...]:
        """Every joint with the 3 x 6 matrix that gives its force (N) from the unknowns."""
        maps: dict[JointName, Vector] = {}
        outer_names = outer_joints(self.corner.lines)
        for at, (line, pull) in enumerate(zip(self.corner.lines, self.pulls, strict=True)):
            for name in (line.inner_joint, outer_names[line.link]):
                maps.setdefault(name, np.zeros((3, 6)))[:, at] += pull
        spring_at = len(self.corner.lines)
        if self.corner.spring.kind is SpringKind.LINK:
            maps[outer_names[self.on_link.line.link]][:, spring_at] += self.on_link.on_upright
            for line, force in self.on_link.at_inner:
                maps[line.inner_joint][:, spring_at] += force
        if self.sides:
            top = maps[TOP_MOUNT] = np.zeros((3, 6))
            top[:, spring_at + 1], top[:, spring_at + 2] = self.sides
        return tuple(maps.items())

    def reactions(self, external: Vector) -> Reactions:
        """What holds a load, given as force and moment about the wheel centre (N, N mm), all in N."""
        unknowns = self.solution @ external
        joints = tuple((name, matrix @ unknowns) for name, matrix in self.joints)
        *tensions, spring = (float(unknown) for unknown in unknowns[: len(self.corner.lines) + 1])
        return Reactions(
            lines=tuple(zip((line.link for line in self.corner.lines), tensions, strict=True)),
            spring_n=spring,
            joints=joints,
            top_mount=dict(joints).get(TOP_MOUNT),
        )


def outer_joints(lines: tuple[LinkLine, ...]) -> dict[str, JointName]:
    """The outer joint of each line; lines that meet in one point share it.

    Args:
        lines: links with their outer points, mm
    Returns: joint by link; a shared one is named ``a+b``, at the first location recorded for it
    Notes: Lines share a joint when their outer points are recorded alike to the last figure (mm) and are not recorded
        as different locations.
    References: Gillespie, Fundamentals of Vehicle Dynamics, chapter 7 (a triangular arm turns about one ball joint).

    >>> arm = (LinkLine("a", (300, 400, 200), (0, 700, 200)), LinkLine("b", (-300, 400, 200), (0, 700, 200)))
    >>> outer_joints(arm)["b"].link
    'a+b'
    """
    names = {}
    for line in lines:
        sharing = [one for one in lines if one.shares_joint(line)]
        location = next((one.outer_location for one in sharing if one.outer_location), "")
        names[line.link] = JointName("+".join(one.link for one in sharing), JointEnd.OUTER, location)
    return names


@dataclass(frozen=True)
class _SpringOnLink:
    """A spring on a link, for one N of it: its force on the upright, and on the car's side of each inner joint."""

    line: LinkLine
    on_upright: Vector
    at_inner: tuple[tuple[LinkLine, Vector], ...]


def _spring_on_link(corner: Corner, pushes: Vector) -> _SpringOnLink:
    line = next(line for line in corner.lines if line.link == corner.spring.link)
    others = (one for one in corner.lines if one is not line and one.shares_joint(line))
    other = next(others, None)
    seat = np.subtract(corner.spring.low, line.inner)
    along = np.subtract(line.outer, line.inner)
    moment = np.cross(seat, pushes)
    if other is None:
        on_upright = np.cross(moment, along) / (along @ along)
        return _SpringOnLink(line, on_upright, ((line, on_upright - pushes),))
    # The arm turns about the line through both inner ends; what it gives the upright is square to its plane.
    axis = np.subtract(other.inner, line.inner)
    square = _unit(np.cross(axis, along))
    on_upright = square * (axis @ moment) / (axis @ np.cross(along, square))
    rest = on_upright - pushes
    unbalanced = moment - np.cross(along, on_upright)
    # Along the axis nothing decides how the two inner joints share: half each.
    at_other = np.cross(axis, unbalanced) / (axis @ axis) + axis * (axis @ rest) / (axis @ axis) / 2
    return _SpringOnLink(line, on_upright, ((line, rest - at_other), (other, at_other)))


def _unit(vector: Vector) -> Vector:
    length = float(np.linalg.norm(vector))
    if length < _SINGULAR:
        raise SingularCorner("a link, or an arm's axis, has no length")
    return np.asarray(vector / length)
