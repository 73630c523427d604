"""Stamps, letters and batches; the orders are the product's own rules, no outside source."""

import pytest

from catalog.stamps import Stamp, batch_is_held, batch_order, letter_order, pairs_with, parse_stamp


@pytest.mark.parametrize(
    ("text", "stamp"),
    [
        ("LM-210-B 2210", Stamp("LM-210", "B", "2210")),
        ("lm-210-b   2210 ", Stamp("LM-210", "B", "2210")),
        ("LM-210-AA", Stamp("LM-210", "AA", "")),
        ("X-C 12 7", Stamp("X", "C", "12 7")),
    ],
)
def test_stamps(text, stamp):
    assert parse_stamp(text) == stamp


@pytest.mark.parametrize("text", ["LM-210", "210B 2210", "", "-B 2210", "LM 210-"])
def test_texts_that_are_no_stamp(text):
    assert parse_stamp(text) is None


def test_letters_and_batches_go_by_length_first():
    assert sorted(["AA", "Z", "B"], key=letter_order) == ["B", "Z", "AA"]
    assert sorted(["1000", "999", "A10"], key=batch_order) == ["999", "A10", "1000"]


@pytest.mark.parametrize(
    ("batch", "low", "high", "held"),
    [
        ("2210", "2209", "2212", True),
        ("2209", "2209", "2212", True),
        ("2212", "2209", "2212", True),
        ("2208", "2209", "2212", False),
        ("22100", "2209", "2212", False),
        ("2300", "2209", "", True),
        ("1", "", "2212", True),
        ("anything", "", "", True),
    ],
)
def test_held_batches(batch, low, high, held):
    assert batch_is_held(batch, low, high) is held


CHAIN = {"A": "", "B": "both_ways", "C": "one_way", "D": "both_ways", "E": "both_ways"}


@pytest.mark.parametrize(
    ("letter", "pairs"), [("A", ["A", "B"]), ("B", ["A", "B"]), ("C", ["C", "D", "E"]), ("E", ["C", "D", "E"])]
)
def test_pairs_join_over_an_unbroken_run(letter, pairs):
    assert pairs_with(letter, CHAIN, same_revision=False) == pairs


def test_same_revision_both_sides_leaves_the_letter_alone():
    assert pairs_with("B", CHAIN, same_revision=True) == ["B"]
