"""How far each joint turns and tilts over the wheel's travel: rigid links, solved position by position."""

from dataclasses import dataclass
from math import asin, atan2, degrees
from operator import attrgetter
from typing import Annotated

import numpy as np

from catalog.codes import SpringKind
from fitment.answers.contract import INLINE, As, Named
from fitment.engineering.constants import TRAVEL, TRAVEL_STEP
from fitment.engineering.corner import TOP_MOUNT, Corner, JointName, Point, Vector, outer_joints

_UP = np.array([0.0, 0.0, 1.0])
_CLOSE_MM2 = 1e-6  # squared lengths are met within this: less than a nanometre on a link of 300 mm
_ITERATIONS = 50


@dataclass(frozen=True)
class AngleRange:
    """Smallest and greatest angle in degrees."""

    minimum: float
    maximum: float


_PAIR = As(attrgetter("minimum", "maximum"), tuple[float, float])


@dataclass(frozen=True)
class JointTravel:
    """Rotation (outer end up) and tilt (towards the joint's axis) of one joint over the travel, degrees."""

    joint: Annotated[JointName, INLINE]
    rotation: Annotated[AngleRange, Named("rotation_deg"), _PAIR]
    tilt: Annotated[AngleRange, Named("tilt_deg"), _PAIR]


@dataclass(frozen=True)
class Articulation:
    """The travel reached, in mm of the wheel centre, and what it asks of each joint."""

    travel_mm: tuple[float, float]
    joints: Annotated[tuple[JointTravel, ...], Named("articulation")]


@dataclass(frozen=True)
class _Pose:
    """Where the upright is: the wheel centre in mm and its turning from the drawn position."""

    centre: Vector
    turned: Vector

    def at(self, corner: Corner, point: Vector | Point) -> Vector:
        return np.asarray(self.centre + self.turned @ np.subtract(point, corner.centre))


@dataclass(frozen=True)
class _SeenJoint:
    """A joint with the ends of its link as drawn, and whether it is seen from the upright or from the car."""

    name: JointName
    inner: Vector
    outer: Vector
    from_upright: bool


def articulation(corner: Corner) -> Articulation:
    """Rotation and tilt of every joint over the wheel's travel.

    Args:
        corner: geometry in mm
    Returns: angles in degrees over the travel reached in mm, at most 80 up and down in steps of 5
    Notes: The axis of a joint is horizontal and square to its link as drawn (up x link); inner joints are seen from the
        car, outer ones from the upright, a shared ball joint along the middle of its two lines. Links are rigid and the
        steering is held. Travel ends before a position that the links cannot reach.
    References: Newton's method on the link lengths; any text on spatial mechanisms.

    >>> from fitment.engineering.corner import EXAMPLE_CORNER
    >>> moved = articulation(EXAMPLE_CORNER)
    >>> moved.travel_mm, moved.joints[4].joint.link, round(moved.joints[4].rotation.maximum, 2)
    ((-80.0, 80.0), 'c', 11.51)
    """
    drawn = _Pose(np.asarray(corner.centre, dtype=float), np.eye(3))
    steps = int(TRAVEL.value / TRAVEL_STEP.value)
    poses, reached = [drawn], [0.0, 0.0]
    for side, way in enumerate((-1, 1)):
        pose = drawn
        for step in range(1, steps + 1):
            travel = way * step * TRAVEL_STEP.value
            found = _moved(corner, pose, corner.centre_z + travel)
            if found is None:
                break
            pose, reached[side] = found, travel
            poses.append(found)
    joints = [_travel(corner, seen, poses) for seen in _joints(corner)]
    return Articulation((reached[0], reached[1]), tuple(joints))


def _moved(corner: Corner, pose: _Pose, height: float) -> _Pose | None:
    """The pose at a height of the wheel centre, from one near it; None when the links do not reach."""
    for _ in range(_ITERATIONS):
        errors, slopes = _constraints(corner, pose, height)
        if max(abs(error) for error in errors) < _CLOSE_MM2:
            return pose
        try:
            step = np.linalg.solve(np.array(slopes), -np.array(errors))
        except np.linalg.LinAlgError:
            return None
        pose = _Pose(pose.centre + step[:3], _turn(step[3:]) @ pose.turned)
    return None


def _constraints(corner: Corner, pose: _Pose, height: float) -> tuple[list[float], list[Vector]]:
    """What the links, the strut and the height leave unmet, and its slope by shift and turn of the upright."""
    errors = [float(pose.centre[2] - height)]
    slopes = [np.array([0.0, 0.0, 1.0, 0.0, 0.0, 0.0])]
    for line in corner.lines:
        outer = pose.at(corner, line.outer)
        link = outer - line.inner
        length = np.subtract(line.outer, line.inner)
        errors.append(float(link @ link - length @ length))
        slopes.append(2 * np.concatenate([link, np.cross(outer - pose.centre, link)]))
    if corner.spring.kind is SpringKind.STRUT:
        top = np.asarray(corner.spring.top)
        low = pose.at(corner, corner.spring.low)
        for drawn_side in corner.spring.sides:
            side = pose.turned @ drawn_side
            # The top mount stays on the strut's axis: nothing of (top - low) is square to it.
            reach = top - low
            errors.append(float(reach @ side))
            slopes.append(np.concatenate([-side, np.cross(side, low - pose.centre) + np.cross(side, reach)]))
    return errors, slopes


def _joints(corner: Corner) -> list[_SeenJoint]:
    outers = outer_joints(corner.lines)
    found: dict[JointName, _SeenJoint] = {}
    for line in corner.lines:
        inner, outer, name = np.asarray(line.inner), np.asarray(line.outer), outers[line.link]
        found[line.inner_joint] = _SeenJoint(line.inner_joint, inner, outer, from_upright=False)
        middle = np.mean([one.inner for one in corner.lines if outers[one.link] == name], axis=0)
        found[name] = _SeenJoint(name, middle, outer, from_upright=True)
    if corner.spring.kind is SpringKind.STRUT:
        top, low = np.asarray(corner.spring.top), np.asarray(corner.spring.low)
        found[TOP_MOUNT] = _SeenJoint(TOP_MOUNT, top, low, from_upright=False)
    return list(found.values())


def _travel(corner: Corner, joint: _SeenJoint, poses: list[_Pose]) -> JointTravel:
    drawn = _direction(joint.outer - joint.inner)
    axis = np.cross(_UP, drawn)
    # A link that stands upright has every horizontal line square to it: the car's length is taken.
    axis = _direction(axis) if np.linalg.norm(axis) > 1e-6 else np.array([1.0, 0.0, 0.0])
    upward = np.cross(drawn, axis)
    rotations, tilts = [], []
    for pose in poses:
        link = _direction(pose.at(corner, joint.outer) - joint.inner)
        seen = pose.turned.T @ link if joint.from_upright else link
        rotations.append(degrees(atan2(seen @ upward, seen @ drawn)))
        tilts.append(degrees(asin(np.clip(seen @ axis, -1.0, 1.0))))
    return JointTravel(joint.name, AngleRange(min(rotations), max(rotations)), AngleRange(min(tilts), max(tilts)))


def _direction(vector: Vector) -> Vector:
    return np.asarray(vector / np.linalg.norm(vector))


def _turn(vector: Vector) -> Vector:
    """The turning matrix of a rotation vector (Rodrigues)."""
    angle = float(np.linalg.norm(vector))
    if angle == 0:
        return np.eye(3)
    x, y, z = vector / angle
    skew = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.asarray(np.eye(3) + np.sin(angle) * skew + (1 - np.cos(angle)) * skew @ skew)
