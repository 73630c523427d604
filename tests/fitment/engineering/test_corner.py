"""Forces of a corner against hand-solved ones and against each body's own balance."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.codes import LoadCase, SpringKind
from fitment.engineering.axle_loads import CarFigures, contact_forces
from fitment.engineering.corner import TOP_MOUNT, Corner, JointName, LinkLine, Spring, Statics, outer_joints
from fitment.engineering.errors import SingularCorner
from tests.fitment.engineering.corners import STATICS, corners, in_mm, multi_links, published

SOLVED = [
    "five_link_standing",
    "five_link_braking",
    "five_link_cornering",
    "five_link_driving",
    "symmetric_v_arms_braking",
    "vertical_strut_braking",
    "vertical_strut_standing",
]
forces = st.tuples(st.floats(-6000, 6000), st.floats(-6000, 6000), st.floats(0, 9000))


@pytest.mark.parametrize("name", SOLVED)
def test_solved_by_hand(name):
    # six equations solved by hand, numpy apart (derived): values.json says how for each
    case = STATICS[name]
    corner = published(name)
    statics = Statics(corner)
    load = statics.wrench(tuple(case["inputs"]["force_at_contact"]), corner.contact)
    if "force_at_wheel_centre" in case["inputs"]:
        load = load + statics.wrench(tuple(case["inputs"]["force_at_wheel_centre"]), corner.centre)
    held = statics.reactions(load)
    found = {**dict(held.lines), "spring": held.spring_n}
    if held.top_mount is not None:
        found["top_mount_force_on_upright_x"], found["top_mount_force_on_upright_y"], _ = held.top_mount
    tolerance = case["tolerance"]
    for what, expected in case["expected"].items():
        assert found[what] == pytest.approx(expected, rel=tolerance["relative"], abs=tolerance["absolute"] * 10), what


def one_link(name: str) -> tuple[Statics, dict]:
    """A five-link corner whose lower lateral link is the published one and carries the spring."""
    given_ = STATICS[name]["inputs"]
    corner = published("five_link_braking")
    line = LinkLine("lower_lateral", in_mm(given_["inner"]), in_mm(given_["outer"]), outer_location="of.its.own")
    lines = tuple(
        line if one.link == "lower_lateral" else replace(one, outer_location=one.link) for one in corner.lines
    )
    spring = Spring(SpringKind.LINK, in_mm(given_["top"]), in_mm(given_["seat"]), "lower_lateral")
    return Statics(replace(corner, lines=lines, spring=spring)), STATICS[name]["expected"]


def test_a_spring_on_a_link():
    # moments about the inner end (derived; numpy cross products)
    statics, expected = one_link("spring_on_link_vertical")
    assert statics.on_link.on_upright == pytest.approx(expected["force_on_upright_per_unit_spring"], abs=1e-9)
    statics, expected = one_link("spring_on_link_inclined_offset_seat")
    found = statics.on_link.on_upright
    assert found == pytest.approx(expected["force_square_to_link_on_upright_per_unit_spring"], abs=1e-9)
    ((_, at_inner),) = statics.on_link.at_inner
    towards = statics.pulls[2]
    assert at_inner @ towards == pytest.approx(expected["axial_part_per_unit_spring"], abs=1e-9)


@given(corners, forces)
@settings(max_examples=60, deadline=None)
def test_the_upright_is_in_balance(corner, force):
    """The forces of the outer joints, the spring and the top mount add up to nothing with the road's."""
    statics = Statics(corner)
    held = statics.reactions(statics.wrench(force, corner.contact))
    points = {name: line.outer for line in corner.lines for name in [outer_joints(corner.lines)[line.link]]}
    whole = statics.wrench(force, corner.contact)
    for name, joint_force in held.joints:
        if name.end == "outer":
            whole = whole + statics.wrench(joint_force, points[name])
    if corner.spring.kind is not SpringKind.LINK:
        whole = whole + statics.wrench(held.spring_n * statics.pushes, corner.spring.low)
    if held.top_mount is not None:
        assert held.top_mount @ statics.pushes == pytest.approx(0, abs=1e-6)
        whole = whole + statics.wrench(held.top_mount, corner.spring.top)
    scale = 1 + max(abs(tension) for _, tension in held.lines)
    assert whole / scale == pytest.approx(np.zeros(6), abs=1e-6)


@given(multi_links, forces)
@settings(max_examples=60, deadline=None)
def test_the_link_that_carries_the_spring_is_in_balance(corner, force):
    corner = replace(corner, spring=replace(corner.spring, kind=SpringKind.LINK))
    statics = Statics(corner)
    held = statics.reactions(statics.wrench(force, corner.contact))
    line = next(one for one in corner.lines if one.link == corner.spring.link)
    joints = dict(held.joints)
    inner = joints[JointName(line.link, "inner", line.inner_location)]
    outer = joints[JointName(line.link, "outer", line.outer_location)]
    spring = held.spring_n * statics.pushes
    scale = 1 + abs(held.spring_n) + np.linalg.norm(inner)
    assert (inner - outer + spring) / scale == pytest.approx(np.zeros(3), abs=1e-9)
    along = np.subtract(line.outer, line.inner)
    moment = np.cross(along, -outer) + np.cross(np.subtract(corner.spring.low, line.inner), spring)
    square = moment - along * (along @ moment) / (along @ along)  # a ball-ended link may turn about itself
    assert square / scale / 1000 == pytest.approx(np.zeros(3), abs=1e-9)


def test_two_bars_in_a_plane():
    # n = P/(2 cos t), deflection = P/(2 k cos^2 t) (two-bar truss; any statics text; Castigliano; derived)
    case = STATICS["two_link_v_planar"]
    inputs, expected = case["inputs"], case["expected"]
    load, stiffness = inputs["load_along_bisector_N"], inputs["k_each_N_per_m"]
    figures = zip(inputs["half_angle_deg"], expected["force_each_N"], expected["deflection_m"], strict=True)
    for half_angle, force, deflection in figures:
        if not half_angle:
            continue  # both bars on one line: an arm without an axis, which no corner has
        reach = 350 * np.tan(np.radians(half_angle))
        corner = published("symmetric_v_arms_braking")
        lower = tuple(
            replace(line, inner=(x, 350.0, 150.0)) for line, x in zip(corner.lines[:2], (reach, -reach), strict=True)
        )
        statics = Statics(replace(corner, lines=(*lower, *corner.lines[2:])))
        held = statics.reactions(statics.wrench((0.0, -load, 0.0), lower[0].outer))
        bars = [tension for name, tension in held.lines if name.startswith("lower")]
        assert [-tension for tension in bars] == pytest.approx([force, force], rel=case["tolerance"]["relative"])
        moved = sum(tension**2 for tension in bars) / stiffness / load
        assert moved == pytest.approx(deflection, rel=case["tolerance"]["relative"])


def wishbones(spring_low: tuple[float, float, float]) -> Corner:
    corner = published("symmetric_v_arms_braking")
    spring = Spring(SpringKind.LINK, (20.0, 520.0, 600.0), spring_low, "lower_front")
    return replace(corner, spring=spring)


@given(st.tuples(st.floats(-80, 80), st.floats(450, 650), st.floats(130, 220)), forces)
@settings(max_examples=60, deadline=None)
def test_an_arm_of_two_lines_that_carries_the_spring_is_in_balance(low, force):
    corner = wishbones(low)
    statics = Statics(corner)
    held = statics.reactions(statics.wrench(force, corner.contact))
    joints = dict(held.joints)
    front, rear = (next(one for one in corner.lines if one.link == link) for link in ("lower_front", "lower_rear"))
    at_front, at_rear = (joints[JointName(line.link, "inner", "")] for line in (front, rear))
    at_ball = joints[JointName("lower_front+lower_rear", "outer", "")]
    spring = held.spring_n * statics.pushes
    scale = 1 + abs(held.spring_n) + np.linalg.norm(at_front)
    assert (at_front + at_rear - at_ball + spring) / scale == pytest.approx(np.zeros(3), abs=1e-9)
    moment = (
        np.cross(np.subtract(rear.inner, front.inner), at_rear)
        - np.cross(np.subtract(front.outer, front.inner), at_ball)
        + np.cross(np.subtract(low, front.inner), spring)
    )
    assert moment / scale / 1000 == pytest.approx(np.zeros(3), abs=1e-9)


def test_a_shared_ball_joint_is_one_joint():
    joints = dict(Statics(published("symmetric_v_arms_braking")).joints)
    assert JointName("lower_front+lower_rear", "outer", "") in joints
    assert len(joints) == 5 + 3


def test_two_joints_drawn_in_one_point_are_two_where_two_locations_say_so():
    arm = published("symmetric_v_arms_braking").lines[:2]
    apart = tuple(replace(line, outer_location=line.link) for line in arm)
    assert {name.link for name in outer_joints(apart).values()} == {line.link for line in arm}
    once = (replace(arm[0], outer_location="lower_arm.outer"), arm[1])
    assert {name.location for name in outer_joints(once).values()} == {"lower_arm.outer"}


def test_a_strut_has_its_top_mount():
    assert TOP_MOUNT in dict(Statics(published("vertical_strut_braking")).joints)


class TestWhatIsModelled:
    def test_five_lines_or_a_strut_with_three(self):
        five, strut = published("five_link_braking"), published("vertical_strut_braking")
        assert five.modelled
        assert strut.modelled
        assert not replace(five, lines=five.lines[:4]).modelled
        assert not replace(strut, lines=(*strut.lines, five.lines[0])).modelled
        assert not replace(five, spring=replace(five.spring, kind=SpringKind.LINK, link="nowhere")).modelled

    def test_links_that_hold_nothing(self):
        five = published("five_link_braking")
        twice = (five.lines[0], *five.lines[:4])
        with pytest.raises(SingularCorner):
            Statics(replace(five, lines=twice))
        no_length = replace(five.lines[0], inner=five.lines[0].outer)
        with pytest.raises(SingularCorner):
            Statics(replace(five, lines=(no_length, *five.lines[1:])))


class TestLoads:
    def test_load_transfer(self):
        # Gillespie, Fundamentals of Vehicle Dynamics, ch. 1; NIST SP 811 (derived)
        case = STATICS["load_transfer"]
        inputs, expected = case["inputs"], case["expected"]
        car = CarFigures(
            inputs["mass_kg"],
            inputs["front_share"],
            1000 * inputs["wheelbase_m"],
            1000 * inputs["cg_height_m"],
            1000 * inputs["track_m"],
        )
        front, rear = contact_forces(car, "front"), contact_forces(car, "rear")
        assert 2 * front[LoadCase.STANDING][2] == pytest.approx(expected["front_axle_standing_N"], rel=1e-9)
        assert front[LoadCase.BRAKING][2] == pytest.approx(expected["front_wheel_braking_N"], rel=1e-9)
        assert rear[LoadCase.BRAKING][2] == pytest.approx(expected["rear_wheel_braking_N"], rel=1e-9)
        lateral = sum(forces_[LoadCase.CORNERING][2] - forces_[LoadCase.STANDING][2] for forces_ in (front, rear))
        assert lateral == pytest.approx(expected["lateral_whole_car_N"], rel=1e-9)

    def test_every_wheel_brakes_and_corners_its_own_load(self):
        forces_ = contact_forces(CarFigures(1600, 0.52, 2750, 550, 1550), "front")
        assert forces_[LoadCase.BRAKING][0] == -forces_[LoadCase.BRAKING][2]
        assert forces_[LoadCase.CORNERING][1] == -forces_[LoadCase.CORNERING][2]

    def test_a_rear_wheel_that_lifts_carries_nothing(self):
        assert contact_forces(CarFigures(1000, 0.7, 2000, 900, 1500), "rear")[LoadCase.BRAKING] == (0, 0, 0)
