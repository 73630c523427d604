"""The corner diagram: every joint once, inside the sheet, apart from the others, whatever the topology."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitment.drawing.corner import HEIGHT, WIDTH, DrawnLocation, corner_layout

LAYOUTS = {
    "two-link strut": [
        ("tension_link.inner", "tension_link", "subframe", "braking"),
        ("tension_link.outer", "tension_link", "upright", "braking"),
        ("lateral_link.inner", "lateral_link", "subframe", "lateral"),
        ("lateral_link.outer", "lateral_link", "upright", "lateral"),
        ("strut.top", "strut", "chassis", "vertical"),
        ("tie_rod.outer", "tie_rod", "upright", "steering"),
    ],
    "double wishbone": [
        ("lower_arm.front", "lower_arm", "subframe", "lateral"),
        ("lower_arm.rear", "lower_arm", "subframe", "braking"),
        ("lower_arm.outer", "lower_arm", "upright", "mixed"),
        ("upper_arm.front", "upper_arm", "chassis", "lateral"),
        ("upper_arm.rear", "upper_arm", "chassis", "lateral"),
        ("damper.lower", "damper", "link", "vertical"),
    ],
    "integral link": [
        ("lower_arm.front", "lower_arm", "subframe", "braking"),
        ("lower_arm.rear", "lower_arm", "subframe", "lateral"),
        ("integral_link.lower", "integral_link", "link", "braking"),
        ("integral_link.upper", "integral_link", "upright", "braking"),
        ("toe_link.inner", "toe_link", "subframe", "steering"),
    ],
    "subframe mounts": [
        ("semi_arm.inner", "semi_arm", "subframe", "mixed"),
        ("semi_arm.outer", "semi_arm", "subframe", "mixed"),
        ("subframe.front", "subframe", "chassis", "mixed"),
        ("subframe.rear", "subframe", "chassis", "mixed"),
    ],
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_joint_stands_once_inside_the_left_corner_and_apart(name):
    places = [DrawnLocation(*row) for row in LAYOUTS[name]]
    spots = corner_layout(places).spots
    assert sorted(spot.code for spot in spots) == sorted(place.code for place in places)
    assert all(0 < spot.x < WIDTH / 2 and 0 < spot.y < HEIGHT for spot in spots)
    for one, other in combinations(spots, 2):
        assert (one.x - other.x) ** 2 + (one.y - other.y) ** 2 >= 24**2, (one.code, other.code)


def test_braking_leads_forward_steering_stands_rearmost_a_strut_is_seen_from_its_top():
    corner = corner_layout([DrawnLocation(*row) for row in LAYOUTS["two-link strut"]])
    at = {spot.code: spot for spot in corner.spots}
    assert at["tension_link.inner"].y < at["lateral_link.inner"].y < at["tie_rod.outer"].y + 200
    assert at["tension_link.outer"].y < at["lateral_link.outer"].y < at["tie_rod.outer"].y
    assert [tower.link for tower in corner.towers] == ["strut"]
    assert not [line for line in corner.lines if line.link == "strut"]


def test_an_arm_of_two_inner_joints_is_two_lines_to_one_ball_joint():
    corner = corner_layout([DrawnLocation(*row) for row in LAYOUTS["double wishbone"]])
    legs = [line for line in corner.lines if line.link == "lower_arm"]
    assert len(legs) == 2
    ball = next(spot for spot in corner.spots if spot.code == "lower_arm.outer")
    assert {(leg.x1, leg.y1) for leg in legs} == {(ball.x, ball.y)}


def test_a_joint_on_another_link_stands_on_that_link():
    corner = corner_layout([DrawnLocation(*row) for row in LAYOUTS["integral link"]])
    spot = next(spot for spot in corner.spots if spot.code == "integral_link.lower")
    on = [
        line
        for line in corner.lines
        if line.link != "integral_link"
        and abs((line.x2 - line.x1) * (spot.y - line.y1) - (line.y2 - line.y1) * (spot.x - line.x1)) < 60
    ]
    assert on


def test_the_subframes_own_mounts_need_no_link():
    corner = corner_layout([DrawnLocation(*row) for row in LAYOUTS["subframe mounts"]])
    assert not [line for line in corner.lines if line.link == "subframe"]


places = st.builds(
    lambda link, end, link_end, role: DrawnLocation(f"{link}.{end}", link, link_end, role),
    st.sampled_from(["a", "b", "c", "d", "strut", "subframe"]),
    st.sampled_from(["inner", "outer", "front", "rear", "upper", "lower", "top", "1"]),
    st.sampled_from(["chassis", "subframe", "upright", "strut", "link"]),
    st.sampled_from(["braking", "lateral", "vertical", "steering", "mixed"]),
)


@given(st.lists(places, max_size=14, unique_by=lambda place: place.code), st.randoms())
def test_any_topology_is_drawn_the_same_in_any_order(several, random):
    drawn = corner_layout(several)
    assert sorted(spot.code for spot in drawn.spots) == sorted(place.code for place in several)
    shuffled = list(several)
    random.shuffle(shuffled)
    assert corner_layout(shuffled) == drawn
