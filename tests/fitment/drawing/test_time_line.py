"""The time line of revisions: an arrow each way where they exchange, words between, nothing made up."""

import pytest

from fitment.drawing.time_line import DrawnRevision, time_line


@pytest.mark.parametrize(
    ("exchange", "arrows", "words", "crossed"),
    [
        ("one_way", 1, "B in place of A", False),
        ("both_ways", 2, "A and B exchange", False),
        ("with_rework", 1, "B for A, with rework", False),
        ("none", 0, "A and B do not exchange", True),
        ("", 0, "", False),
    ],
)
def test_exchange(exchange, arrows, words, crossed):
    line = time_line([DrawnRevision("A", "withdrawn"), DrawnRevision("B", "released", exchange)])
    assert len(line.arrows) == arrows
    assert (line.between[0].words, line.between[0].crossed) == (words, crossed)
    assert all(arrow.rework is (exchange == "with_rework") for arrow in line.arrows)


def test_the_new_one_points_at_the_one_it_takes_the_place_of():
    line = time_line([DrawnRevision("A", "withdrawn"), DrawnRevision("B", "released", "one_way")])
    assert line.dots[0].x < line.arrows[0].x2 < line.arrows[0].x1 < line.dots[1].x


def test_one_revision_is_one_dot_and_none_is_an_empty_line():
    assert len(time_line([DrawnRevision("A", "released", held=True)]).dots) == 1
    assert time_line([]).dots == ()
