"""The way in as a graph: what rests on what, and each way not taken with what it would add or lacks."""

from dataclasses import replace

from fitment.domain.procedures import AxleLocation, Equipment
from fitment.job.access_graph import access_graph
from tests.fitment.job.workshops import goal, operation, planned, site, way, workshop

SHOP = {code: Equipment(code) for code in ("lift", "press")}


def two_ways():  # type: ignore[no-untyped-def]
    """From below in 32 minutes, or with the subframe down in 95, and a road test after either."""
    return workshop(
        operation("up", 7),
        operation("plate", 10, needs="up"),
        operation("below", 15, needs="plate", equipment="lift", entails="test"),
        operation("subframe", 60, needs="up"),
        operation("down", 28, needs="subframe", entails="test"),
        operation("test", 12),
        places={"joint": AxleLocation(ways=(way("below", "a_below"), way("down", "b_down")))},
        equipment=SHOP,
    )


def test_the_way_not_taken_says_what_it_would_add_and_where_it_branches_off() -> None:
    place, plan = planned(two_ways(), goal())
    (other,) = access_graph(place, plan).alternatives
    assert other.steps == ("F1/subframe", "F1/down")
    assert (other.at, other.last, other.after) == ("P front.joint", "F1/down", ("F1/up",))
    assert other.extra_minutes == (7 + 60 + 28) - (7 + 10 + 15)


def test_steps_are_chosen_other_or_after_work_and_know_the_goals_they_serve() -> None:
    place, plan = planned(two_ways(), goal())
    steps = {step.name: step for step in access_graph(place, plan).steps}
    assert {name: step.state for name, step in steps.items()} == {
        "F1/up": "chosen", "F1/plate": "chosen", "F1/below": "chosen", "F1/subframe": "other", "F1/down": "other",
        "F1/test": "after",
    }  # fmt: skip
    assert steps["F1/up"].goals == ("P front.joint",)
    assert steps["F1/test"].goals == ()


def test_links_lead_from_what_comes_first_to_what_rests_on_it() -> None:
    place, plan = planned(two_ways(), goal())
    links = access_graph(place, plan).links
    assert set(links) == {("F1/up", "F1/plate"), ("F1/plate", "F1/below"), ("F1/below", "P front.joint")}


def test_a_way_without_its_equipment_says_what_it_lacks() -> None:
    place, plan = planned(two_ways(), goal(), equipment="press")
    assert plan.ways == {"P front.joint": "b_down"}
    (other,) = access_graph(place, plan).alternatives
    assert (other.extra_minutes, other.lacking) == (None, ("lift",))


def test_an_alternative_inside_a_need_is_a_way_not_taken_too() -> None:
    facts = workshop(
        operation("short", 5),
        operation("long", 40),
        operation("arm", 10, needs="short | long"),
        places={"joint": AxleLocation(ways=(way("arm"),))},
    )
    place, plan = planned(facts, goal())
    (other,) = access_graph(place, plan).alternatives
    assert (other.at, other.steps, other.extra_minutes) == ("F1/arm", ("F1/long",), 35)


def test_steps_shared_between_parts_carry_both() -> None:
    facts = workshop(
        operation("up", 7),
        operation("a", 10, needs="up"),
        operation("b", 10, needs="up"),
        places={"a": AxleLocation(ways=(way("a"),)), "b": AxleLocation(ways=(way("b"),))},
    )
    place, plan = planned(facts, goal("a"), goal("b", part="Q"))
    shared = {step.name: len(step.goals) for step in access_graph(place, plan).steps}
    assert shared == {"F1/up": 2, "F1/a": 1, "F1/b": 1}


def test_an_alternative_that_is_no_way_and_lacks_nothing_is_left_out() -> None:
    facts = workshop(
        operation("short", 5),
        operation("ring", 5, needs="other"),
        operation("other", 5, needs="ring"),
        operation("arm", 10, needs="short | ring"),
        places={"joint": AxleLocation(ways=(way("arm"),))},
    )
    assert access_graph(*planned(facts, goal())).alternatives == ()


def test_a_step_done_elsewhere_has_no_minutes_and_a_step_of_both_sides_those_of_both() -> None:
    facts = workshop(
        operation("off", 10, per_side=True, entails="align"),
        operation("align", 45, equipment="lift"),
        places={"joint": AxleLocation(ways=(way("off"),))},
        equipment=SHOP,
    )
    steps = {step.name: step.minutes for step in access_graph(*planned(facts, goal(), sides=2, equipment="")).steps}
    assert steps == {"F1/off": 20, "F1/align": None}


def test_what_the_plan_bars_stays_barred_in_its_alternatives() -> None:
    facts = workshop(
        operation("short", 5),
        operation("long", 40, needs="deep | wide"),
        operation("deep", 1),
        operation("wide", 9),
        operation("arm", 10, needs="short | long"),
        places={"joint": AxleLocation(ways=(way("arm"),))},
    )
    place = replace(site(facts, goal()), barred=frozenset({"F1/deep"}))
    plan = place.min_cost_plan([goal()])
    assert plan is not None
    (other,) = access_graph(place, plan).alternatives
    assert (other.steps, other.extra_minutes) == (("F1/wide", "F1/long"), 44)


def test_no_more_alternatives_than_can_be_read() -> None:
    ways = " | ".join(f"w{number:02d}" for number in range(12))
    facts = workshop(
        *(operation(f"w{number:02d}", 5 + number) for number in range(12)),
        operation("arm", needs=ways),
        places={"joint": AxleLocation(ways=(way("arm"),))},
    )
    alternatives = access_graph(*planned(facts, goal())).alternatives
    assert [other.steps for other in alternatives] == [(f"F1/w{number:02d}",) for number in range(1, 9)]
