"""A corner drawn from hardpoints: to scale, forward up, left left."""

from dataclasses import replace
from itertools import combinations
from math import dist

import pytest

from catalog.codes import SpringKind
from fitment.drawing.hardpoints import views
from fitment.engineering.corner import Corner, LinkLine, Spring

CORNER = Corner(
    (
        LinkLine("lateral", (20, 340, 180), (0, 720, 190)),
        LinkLine("tension", (-330, 380, 200), (10, 715, 185)),
        LinkLine("tie", (-120, 350, 220), (-130, 700, 215)),
    ),
    Spring(SpringKind.STRUT, (-30, 590, 830), (0, 690, 260)),
    (0, 760, 0),
    320,
)


def _length(stroke):
    return dist((stroke.x1, stroke.y1), (stroke.x2, stroke.y2))


def test_lengths_are_to_one_scale_in_both_views():
    above, behind = views(CORNER)
    per_mm = above.bar / 100
    assert behind.bar == above.bar
    for stroke, line in zip(above.strokes, CORNER.lines, strict=False):
        assert _length(stroke) == pytest.approx(per_mm * dist(line.inner[:2], line.outer[:2]))
    for stroke, line in zip(behind.strokes, CORNER.lines, strict=False):
        assert _length(stroke) == pytest.approx(per_mm * dist(line.inner[1:], line.outer[1:]))


def test_forward_is_up_and_the_left_wheel_is_left():
    above, behind = views(CORNER)
    tension = above.strokes[1]  # its inner end lies rearward and towards the middle of the car
    assert tension.y1 > tension.y2
    assert tension.x1 > tension.x2
    strut = behind.strokes[3]
    assert strut.y1 < strut.y2


def test_everything_stands_on_the_sheet():
    for view in views(CORNER):
        for stroke in view.strokes:
            assert min(stroke.x1, stroke.x2) >= 0
            assert max(stroke.x1, stroke.x2) <= view.width
            assert min(stroke.y1, stroke.y2) >= 0
            assert max(stroke.y1, stroke.y2) <= view.height


def test_names_of_links_cover_no_other_name_and_no_joint():
    """Two links that lie over each other from behind among them."""
    close = replace(CORNER, lines=(*CORNER.lines, LinkLine("camber_link", (200, 345, 185), (180, 715, 195))))
    for view in views(close):
        assert [label.text for label in view.labels] == ["lateral", "tension", "tie", "camber link"]
        for one, other in combinations(view.labels, 2):
            (a, b, c, d), (e, f, g, h) = one.box, other.box
            assert c <= e or g <= a or d <= f or h <= b, (one, other)
        for left, top, right, bottom in (label.box for label in view.labels):
            assert 0 <= left < right <= view.width
            assert 0 <= top < bottom <= view.height
            for link in view.strokes[:4]:
                for x, y in ((link.x1, link.y1), (link.x2, link.y2)):
                    assert not (left <= x <= right and top <= y <= bottom)
