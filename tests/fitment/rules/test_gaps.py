"""What is amiss in a catalogue, each kind by example: with what mends it beside it."""

from datetime import date

import pytest

from catalog.conditions import parse_conditions
from fitment.domain.facts import Axle, Facts, Part
from fitment.rules.gaps import Gaps, equivalent_variants, gaps
from tests.fitment.rules.making import axle, car, decided, facts, joint, option, revision

WAYS = {("FX", "arm")}


def found(of: Facts, ways=WAYS, measured=("C",)) -> Gaps:
    return gaps(of, ways=ways, measured=measured)


def test_nothing_is_amiss():
    assert found(facts()) == Gaps([], [], [], [], [], [], [])


@pytest.mark.parametrize(
    ("other", "conflict"),
    [
        (joint("D"), True),
        (joint("D", conditions="engine = E30"), False),
        (joint("D", first=date(2021, 1, 1)), False),
        (joint("D", first=date(2020, 12, 31)), True),
    ],
)
def test_joint_rows_conflict_where_one_car_has_both(other, conflict):
    of = facts(car(in_operation=70), axles=(axle(arm=(joint(), other)),))
    assert [(gap.axle, gap.components, gap.variants, gap.in_operation) for gap in found(of).joints] == (
        [("FX", {"C", "D"}, {"V"}, 70)] if conflict else []
    )


def test_alternative_rows_do_not_conflict():
    of = facts(axles=(axle(arm=(joint(alternative=True), joint("D", alternative=True))),))
    assert found(of).joints == []


@pytest.mark.parametrize(
    ("approval", "rejection", "together"),
    [
        ("", "", True),
        ("engine = E20", "engine = E30", False),
        ("option.TOW = yes", "option.TOW = no", False),
        ("option.TOW = yes", "engine = E20", True),
        ("built = ..2020-05", "built = 2020-06..", False),
        ("built = ..2020-06", "built = 2020-06..", True),
    ],
)
def test_decisions_contradict_where_one_car_hears_both(approval, rejection, together):
    one = revision("A", decided(conditions=approval), decided("rejected", conditions=rejection))
    of = facts(car(options=frozenset({"TOW"})), options=(option("TOW"),), revisions=(one,))
    assert [gap.variants for gap in found(of).contradictions] == ([{"V"}] if together else [])


@pytest.mark.parametrize(
    ("conditions", "reached"),
    [("", True), ("engine = E20", True), ("engine = E30", False), ("built = 2021..", False), ("axle = FX", True)],
)
def test_a_decision_is_reached_by_some_car(conditions, reached):
    of = facts(revisions=(revision("A", decided("rejected", conditions=conditions)),))
    assert [gap.decision.decision for gap in found(of).unreached] == ([] if reached else ["rejected"])


def test_a_decision_on_a_component_that_sits_nowhere_is_not_reached():
    of = facts(axles=(axle(arm=(joint("D"),)),))
    assert [(gap.part, gap.revision, gap.component) for gap in found(of).unreached] == [("P", "A", "C")]


def test_a_location_in_our_range_lacks_a_component_for_all_cars_or_some():
    bare = Axle(
        "FX", "front", {"arm": True, "beam": True, "elsewhere": False}, {"arm": (joint(last=date(2020, 6, 30)),)}
    )
    assert [(gap.location, gap.every) for gap in found(facts(axles=(bare,))).empty] == [("arm", False), ("beam", True)]


def test_an_approval_rests_on_measurements():
    assert found(facts(), measured=()).unmeasured == [("C", ["P"])]
    rejected = facts(revisions=(revision("A", decided("rejected")),))
    assert found(rejected, measured=()).unmeasured == []


def test_a_joint_we_sell_for_needs_a_way_in():
    assert [(gap.axle, gap.location, gap.components) for gap in found(facts(), ways=()).closed] == [
        ("FX", "arm", {"C"})
    ]
    concept = facts(parts=(Part("P", revisions=(revision("A", decided(), status="concept"),)),))
    assert found(concept, ways=()).closed == []


@pytest.mark.parametrize(
    ("conditions", "other", "together"),
    [
        ("", {"engine": "E30", "body": "estate"}, True),
        ("engine = E20 | E30", {"body": "estate"}, True),
        ("engine = E20 | E30", {"engine": "E30"}, False),
        ("variant != X", {}, False),
        ("axle = FX; location = arm", {"engine": "E30"}, True),
        ("built = 2020..", {"built_to": date(2021, 1, 1)}, False),
        ("built = 2020..", {"options": frozenset({"TOW"})}, True),
        ("option.TOW = no", {"options": frozenset({"TOW"})}, False),
        ("option.TOW = no", {"standard": frozenset({"TOW"})}, False),
        ("option.TOW = no", {"built_to": date(2021, 1, 1)}, True),
    ],
)
def test_variants_are_looked_at_together_where_nothing_that_is_read_differs(conditions, other, together):
    two = (car("V"), car("W", **other))
    of_joint = equivalent_variants(two, [joint(conditions=conditions)], [])
    of_decision = equivalent_variants(two, [joint()], [parse_conditions(conditions)])
    for groups in (of_joint, of_decision):
        assert [[one.code for one in group] for group in groups] == ([["V", "W"]] if together else [["V"], ["W"]])


def test_variants_of_other_days_are_apart_where_a_joint_has_a_window():
    two = (car("V"), car("W", built_from=date(2019, 1, 1)))
    assert [len(group) for group in equivalent_variants(two, [joint(first=date(2020, 1, 1))], [])] == [1, 1]


def test_what_one_variant_shows_holds_for_all_that_are_alike():
    """Variants with one seat between them are each named, once, with their cars; others are not."""
    joints = (joint(conditions="engine = E20"), joint("D", conditions="engine = E20"))
    cars = (car("V", in_operation=5), car("W", in_operation=7, body="estate"), car("X", engine="E30"))
    several = found(facts(*cars, axles=(axle(arm=joints),)))
    assert [(gap.variants, gap.in_operation) for gap in several.joints] == [({"V", "W"}, 12)]
    assert [(gap.variants, gap.every) for gap in several.empty] == [({"X"}, True)]
