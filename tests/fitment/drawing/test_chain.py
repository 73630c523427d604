"""The chain of numbers as it is drawn: old left of new, nothing on top of anything, arrows that end at their tags."""

import re
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitment.drawing.chain import ASKED, CURRENT, MOST, OLD, TAG_HEIGHT, ChainLink, chain_drawing

EXCHANGES = ("one_way", "both_ways", "with_rework")


@st.composite
def chains(draw) -> tuple[str, list[ChainLink]]:
    """Links without a ring (from a lower to a higher figure), joined or not; the number asked is in one."""
    size = draw(st.integers(2, 9))
    pairs = draw(st.lists(st.sampled_from(list(combinations(range(size), 2))), min_size=1, max_size=14, unique=True))
    links = [ChainLink(f"N{old}", f"N{new}", draw(st.sampled_from(EXCHANGES))) for old, new in pairs]
    return draw(st.sampled_from([links[0].old, links[-1].new])), links


@settings(max_examples=60, deadline=None)
@given(chains())
def test_every_chain_is_drawn_in_order_and_without_overlap(chain):
    asked, links = chain
    drawing = chain_drawing(asked, links)
    at = {tag.number: tag for tag in drawing.tags}
    joined = {asked}
    while more := {name for link in links for name in (link.old, link.new) if {link.old, link.new} & joined} - joined:
        joined |= more
    assert set(at) == joined
    assert len(drawing.arrows) == sum(link.old in joined for link in links)
    for link in links:
        if link.old in at:
            assert at[link.old].x + drawing.tag_width < at[link.new].x
    for one, other in combinations(drawing.tags, 2):
        apart_x = abs(one.x - other.x) >= drawing.tag_width
        assert apart_x or abs(one.y - other.y) >= TAG_HEIGHT
    for tag in drawing.tags:
        assert 0 <= tag.x <= tag.x + drawing.tag_width <= drawing.width
        assert 0 <= tag.y <= tag.y + TAG_HEIGHT <= drawing.height


@settings(max_examples=60, deadline=None)
@given(chains())
def test_arrows_begin_and_end_at_their_tags_and_cross_no_other(chain):
    asked, links = chain
    drawing = chain_drawing(asked, links)
    at = {tag.number: tag for tag in drawing.tags}
    drawn = [link for link in links if link.old in at]
    for link, arrow in zip(drawn, drawing.arrows, strict=True):
        old, new = at[link.old], at[link.new]
        assert arrow.tail == (old.x + drawing.tag_width, old.y + TAG_HEIGHT / 2)
        assert arrow.head == (new.x, new.y + TAG_HEIGHT / 2)
        assert (arrow.both, arrow.rework) == (link.exchange == "both_ways", link.exchange == "with_rework")
        for x, y in straight_stretches(arrow.path):
            assert not any(
                tag.x < x < tag.x + drawing.tag_width and tag.y < y < tag.y + TAG_HEIGHT for tag in at.values()
            )


def straight_stretches(path: str) -> list[tuple[float, float]]:
    """The middles of the level stretches where an arrow passes a column."""
    points = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)H", path)]
    ends = [float(x) for x in re.findall(r"H(-?[\d.]+)", path)]
    return [((x + end) / 2, y) for (x, y), end in zip(points, ends, strict=True)]


def test_states_say_what_was_asked_and_what_is_current():
    drawing = chain_drawing("B", [ChainLink("A", "B", "one_way"), ChainLink("B", "C", "with_rework")])
    assert [(tag.number, tag.state, tag.current) for tag in sorted(drawing.tags, key=lambda tag: tag.x)] == [
        ("A", OLD, False), ("B", ASKED, False), ("C", CURRENT, True),
    ]  # fmt: skip


def test_two_numbers_that_become_one_stand_under_each_other():
    drawing = chain_drawing("C", [ChainLink("A", "C", "one_way"), ChainLink("B", "C", "one_way")])
    at = {tag.number: tag for tag in drawing.tags}
    assert at["A"].x == at["B"].x
    assert at["A"].y != at["B"].y


def test_a_long_chain_is_cut_around_the_number_asked():
    links = [ChainLink(f"N{at:03}", f"N{at + 1:03}", "one_way") for at in range(100)]
    drawing = chain_drawing("N050", links)
    assert len(drawing.tags) == MOST
    assert drawing.beyond == 101 - MOST
    assert {"N049", "N051"} <= {tag.number for tag in drawing.tags}


@pytest.mark.parametrize("number", ["X" * 40, "1"])
def test_a_number_of_any_length_fits_its_tag(number):
    drawing = chain_drawing(number, [ChainLink(number, "N2", "one_way")])
    (tag,) = [tag for tag in drawing.tags if tag.number == number]
    assert len(tag.text) * 8.7 <= drawing.tag_width
