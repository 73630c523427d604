"""Angles over the travel against planes that can be drawn by hand, and links that keep their length."""

from dataclasses import replace
from math import asin, atan2, degrees, hypot, sqrt

import numpy as np
import pytest
from hypothesis import given, settings

from catalog.codes import SpringKind
from fitment.engineering import articulation as module
from fitment.engineering.articulation import articulation
from fitment.engineering.corner import TOP_MOUNT, Corner, JointName, LinkLine, Spring
from tests.fitment.engineering.corners import corners, published


def parallelogram() -> Corner:
    """Two equal flat wishbones and a parallel toe link: the upright moves without turning."""
    lines = tuple(
        LinkLine(name, inner, outer)
        for name, inner, outer in (
            ("lower_front", (200.0, 300.0, 150.0), (0.0, 700.0, 150.0)),
            ("lower_rear", (-200.0, 300.0, 150.0), (0.0, 700.0, 150.0)),
            ("upper_front", (200.0, 300.0, 450.0), (0.0, 700.0, 450.0)),
            ("upper_rear", (-200.0, 300.0, 450.0), (0.0, 700.0, 450.0)),
            ("toe", (-150.0, 300.0, 150.0), (-150.0, 700.0, 150.0)),
        )
    )
    return Corner(lines, Spring(SpringKind.UPRIGHT, (0, 700, 600), (0, 700, 300)), (0.0, 750.0, 0.0), 320.0)


def test_a_parallelogram_by_hand():
    moved = articulation(parallelogram())
    joints = {one.joint: one for one in moved.joints}
    assert moved.travel_mm == (-80.0, 80.0)
    swing = degrees(asin(80 / 400))
    toe, toe_out = joints[JointName("toe", "inner", "")], joints[JointName("toe", "outer", "")]
    for joint in (toe, toe_out, joints[JointName("lower_front+lower_rear", "outer", "")]):
        assert (joint.rotation.minimum, joint.rotation.maximum) == pytest.approx((-swing, swing), abs=1e-9)
        assert (joint.tilt.minimum, joint.tilt.maximum) == pytest.approx((0, 0), abs=1e-9)
    # The slanted line of an arm: the end swings about the arm's axis, which is not square to the line.
    front = joints[JointName("lower_front", "inner", "")]
    x, y, z = -200.0, 400.0 * sqrt(1 - 0.2**2), 80.0
    length = hypot(200.0, 400.0)
    along = (x * -200 + y * 400) / length
    axis = np.cross([0, 0, 1], np.array([-200.0, 400.0, 0]) / length)
    tilt = degrees(asin(np.dot([x, y, z], axis) / length))
    assert front.rotation.maximum == pytest.approx(degrees(atan2(z, along)), abs=1e-9)
    assert (front.tilt.minimum, front.tilt.maximum) == pytest.approx(sorted((0.0, tilt)), abs=1e-9)


def test_outer_end_up_is_positive():
    corner = parallelogram()
    steep = replace(
        corner, lines=tuple(replace(line, inner=np.add(line.inner, (0, 0, 60)).tolist()) for line in corner.lines)
    )
    found = articulation(replace(steep, lines=tuple(replace(one, inner=tuple(one.inner)) for one in steep.lines)))
    toe = next(one for one in found.joints if one.joint.link == "toe")
    drop = degrees(atan2(-60, 400))
    length = hypot(60, 400)
    assert toe.rotation.maximum == pytest.approx(degrees(asin(20 / length)) - drop, abs=1e-6)
    assert toe.rotation.minimum == pytest.approx(degrees(asin(-140 / length)) - drop, abs=1e-6)


@given(corners)
@settings(max_examples=25, deadline=None)
def test_links_keep_their_length_and_the_wheel_its_height(corner):
    pose = module._Pose(np.asarray(corner.centre), np.eye(3))
    for step in range(1, 9):
        pose = module._moved(corner, pose, corner.centre_z + 5.0 * step)
        if pose is None:
            return
        assert pose.turned @ pose.turned.T == pytest.approx(np.eye(3), abs=1e-9)
        assert pose.centre[2] == pytest.approx(corner.centre_z + 5.0 * step, abs=1e-6)
        for line in corner.lines:
            length = np.linalg.norm(np.subtract(line.outer, line.inner))
            assert np.linalg.norm(pose.at(corner, line.outer) - line.inner) == pytest.approx(length, abs=1e-6)
        if corner.spring.kind is SpringKind.STRUT:
            along = pose.turned @ np.subtract(corner.spring.top, corner.spring.low)
            reach = np.asarray(corner.spring.top) - pose.at(corner, corner.spring.low)
            assert np.cross(along, reach) / np.linalg.norm(along) == pytest.approx(np.zeros(3), abs=1e-5)


@given(corners)
@settings(max_examples=15, deadline=None)
def test_the_drawn_position_is_in_every_range(corner):
    for joint in articulation(corner).joints:
        assert joint.rotation.minimum <= 1e-9 <= joint.rotation.maximum + 2e-9
        assert joint.tilt.minimum <= 1e-9 <= joint.tilt.maximum + 2e-9


def test_a_strut_turns_at_its_top():
    moved = articulation(published("vertical_strut_braking"))
    top = next(one for one in moved.joints if one.joint == TOP_MOUNT)
    assert max(abs(top.rotation.minimum), top.rotation.maximum, abs(top.tilt.minimum), top.tilt.maximum) > 1


def test_travel_ends_where_links_do_not_reach():
    corner = parallelogram()
    short = tuple(replace(line, inner=(line.inner[0] / 10, 660.0, line.inner[2])) for line in corner.lines)
    least, greatest = articulation(replace(corner, lines=short)).travel_mm
    assert -80 < least < 0 < greatest < 80
