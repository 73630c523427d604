"""A corner to scale on the sheet of the schematic one: joints where they are, rings that can be told apart."""

import csv
from dataclasses import replace
from itertools import combinations
from math import dist

import pytest
from django.conf import settings
from hypothesis import given
from hypothesis import strategies as st

from catalog.codes import SpringKind
from fitment.drawing.corner import HEIGHT, WIDTH, DrawnLocation, corner_layout
from fitment.drawing.scaled import RING_GAP, corner_to_scale
from fitment.engineering.corner import Corner, LinkLine, Spring

STRUT = Corner(
    (
        LinkLine("lateral_link", (-38, 372, 216), (-12, 702, 204), "lateral_link.inner", "lateral_link.outer"),
        LinkLine("tension_link", (312, 382, 232), (18, 690, 206), "tension_link.inner", "tension_link.outer"),
        LinkLine("tie_rod", (-118, 360, 258), (-126, 690, 252), "", "tie_rod.outer"),
    ),
    Spring(SpringKind.STRUT, (-36, 566, 862), (2, 628, 410)),
    (0, 768, 0),
    318,
)
PLACES = [
    DrawnLocation("tension_link.inner", "tension_link", "subframe", "braking"),
    DrawnLocation("tension_link.outer", "tension_link", "upright", "braking"),
    DrawnLocation("lateral_link.inner", "lateral_link", "subframe", "lateral"),
    DrawnLocation("lateral_link.outer", "lateral_link", "upright", "lateral"),
    DrawnLocation("strut.top", "strut", "chassis", "vertical"),
    DrawnLocation("tie_rod.outer", "tie_rod", "upright", "steering"),
]


def _points(corner):
    """Where each joint is: the foot of its leader, else the middle of its ring."""
    return {spot.code: (spot.x, spot.y) for spot in corner.spots} | {
        leader.link: (leader.x1, leader.y1) for leader in corner.leaders
    }


def test_distances_from_above_are_to_one_scale():
    at = _points(corner_to_scale(STRUT, PLACES))
    ends = {line.inner_location: line.inner for line in STRUT.lines} | {
        line.outer_location: line.outer for line in STRUT.lines
    }
    codes = [code for code in ends if code]
    per_mm = {
        pair: dist(at[pair[0]], at[pair[1]]) / dist(ends[pair[0]][:2], ends[pair[1]][:2])
        for pair in combinations(codes, 2)
        if dist(ends[pair[0]][:2], ends[pair[1]][:2]) > 100
    }
    assert max(per_mm.values()) == pytest.approx(min(per_mm.values()), rel=0.01)


def test_front_is_up_the_car_s_middle_is_right_and_the_strut_s_top_is_where_its_spring_is():
    at = _points(corner_to_scale(STRUT, PLACES))
    assert at["tension_link.inner"][1] < at["lateral_link.inner"][1]
    assert at["lateral_link.outer"][0] < at["lateral_link.inner"][0] < WIDTH / 2
    assert at["strut.top"] == (corner_to_scale(STRUT, PLACES).towers[0].x, corner_to_scale(STRUT, PLACES).towers[0].y)


def test_numbers_stay_those_of_the_schematic_drawing():
    codes = [spot.code for spot in corner_to_scale(STRUT, PLACES).spots]
    assert codes == [spot.code for spot in corner_layout(PLACES).spots]


def test_a_joint_without_a_point_stands_at_the_centre_line():
    foot = DrawnLocation("damper.lower", "damper", "link", "vertical")
    at = _points(corner_to_scale(STRUT, [*PLACES, foot]))
    assert at["damper.lower"][0] > max(point[0] for code, point in at.items() if code != "damper.lower")
    out_of_range = replace(foot, in_range=False)
    assert "damper.lower" not in _points(corner_to_scale(STRUT, [*PLACES, out_of_range]))


def _demo_corners():
    def rows(sheet):
        with (settings.ROOT / "fixtures" / "demo" / f"{sheet}.csv").open() as file:
            return list(csv.DictReader(file))

    topology = {row["axle"]: row["topology"] for row in rows("axles")}
    for wheel in rows("wheels"):
        lines = tuple(
            LinkLine(
                row["link"], tuple(float(row[f"inner_{axis}"]) for axis in "xyz"),
                tuple(float(row[f"outer_{axis}"]) for axis in "xyz"), row["inner_location"], row["outer_location"],
            )
            for row in rows("hardpoints") if row["axle"] == wheel["axle"]
        )  # fmt: skip
        spring = Spring(
            SpringKind(wheel["spring_kind"]),
            tuple(float(wheel[f"spring_top_{axis}"]) for axis in "xyz"),
            tuple(float(wheel[f"spring_low_{axis}"]) for axis in "xyz"),
            wheel["spring_link"],
        )
        contact = tuple(float(wheel[f"contact_{axis}"]) for axis in "xyz")
        places = [
            DrawnLocation(row["location"], row["link"], row["link_end"], row["role"])
            for row in rows("locations") if row["topology"] == topology[wheel["axle"]]
        ]  # fmt: skip
        yield pytest.param(Corner(lines, spring, contact, float(wheel["centre_z"])), places, id=wheel["axle"])


@pytest.mark.parametrize(("hardpoints", "places"), list(_demo_corners()))
def test_rings_of_the_demo_s_corners_stand_apart_on_the_sheet(hardpoints, places):
    spots = corner_to_scale(hardpoints, places).spots
    assert sorted(spot.code for spot in spots) == sorted(place.code for place in places)
    for one, other in combinations(spots, 2):
        assert dist((one.x, one.y), (other.x, other.y)) >= RING_GAP - 1, (one.code, other.code)


MM = st.floats(-600, 600).map(lambda value: round(value, 1))


@given(st.lists(st.tuples(st.tuples(MM, MM, MM), st.tuples(MM, MM, MM)), min_size=1, max_size=5))
def test_every_ring_is_on_the_left_half_of_the_sheet_wherever_the_points_are(ends):
    lines = tuple(
        LinkLine(f"l{at}", (x, abs(y), z), (a, abs(b), c), f"l{at}.inner", f"l{at}.outer")
        for at, ((x, y, z), (a, b, c)) in enumerate(ends)
    )
    places = [
        DrawnLocation(f"{line.link}.{end}", line.link, "subframe" if end == "inner" else "upright", "lateral")
        for line in lines
        for end in ("inner", "outer")
    ]
    corner = corner_to_scale(Corner(lines, STRUT.spring, STRUT.contact, STRUT.centre_z), places)
    assert all(0 < spot.x < WIDTH / 2 and 0 < spot.y < HEIGHT for spot in corner.spots)
