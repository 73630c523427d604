"""What a plan saves, what is nearly free on top, what a missing piece of equipment costs, and several cars."""

from fractions import Fraction

import pytest

from fitment.domain.procedures import AxleLocation, Equipment, JobCar
from fitment.errors import NoPlan
from fitment.job.access_plan import CostliestCar
from fitment.job.comparisons import equipment_gaps, saved_minutes, while_in_there
from fitment.job.job_plan import JobScope, plan_for
from fitment.job.labour import RecordedJob, axle_factor, axle_factors, minutes_by_axle
from tests.fitment.job.workshops import CAR, bench, goal, operation, planned, way, workshop

SHOP = {code: Equipment(code) for code in ("lift", "stands", "rig", "press")}


def shared_way_in():  # type: ignore[no-untyped-def]
    return workshop(
        operation("up", 6, zone="car"),
        operation("up", 6, axle="R1", zone="car"),
        operation("shield", 10, needs="up"),
        operation("a", 20, needs="shield", per_side=True),
        operation("b", 5, needs="shield", skill=3),
        operation("r", 15, axle="R1", needs="up"),
        places={name: AxleLocation(ways=(way(name[-1]),)) for name in ("a", "b", "R1/r")},
        equipment=SHOP,
    )  # fmt: skip


def test_saved_against_one_job_for_each_part() -> None:
    facts = shared_way_in()
    place, plan = planned(facts, goal("a"), goal("b", part="Q"), goal("r", part="R", end="rear"))
    assert plan.cost == 6 + 10 + 20 + 5 + 15
    # the car is raised three times and the shield comes off twice
    assert saved_minutes(place, plan) == 6 + 6 + 10


def test_while_in_there_least_first_with_minutes_and_grade() -> None:
    facts = shared_way_in()
    place, plan = planned(facts, goal("a"))
    candidates = [goal("r", part="R", end="rear"), goal("b", part="Q"), goal("missing", part="S")]
    found = while_in_there(place, plan, 1, candidates)
    assert [(e.part, e.extra_minutes, e.extra_grade) for e in found] == [("Q", 5, 2), ("R", 15, 0)]


def test_car_steps_go_to_the_front_axle_and_bench_to_its_own() -> None:
    facts = shared_way_in()
    place, plan = planned(facts, goal("a"), goal("r", part="R", end="rear", bench=bench(7)), sides=2)
    assert minutes_by_axle(place, plan) == {"F1": 6 + 10 + 40, "R1": 15 + 14}
    assert sum(minutes_by_axle(place, plan).values()) == plan.minutes


def test_gap_is_the_least_plan_without_the_piece_less_the_plan() -> None:
    facts = workshop(
        operation("short", 5, equipment="lift"),
        operation("long", 30, equipment="stands"),
        operation("goal", needs="short | long"),
        places={"joint": AxleLocation(ways=(way("goal"),))},
        equipment=SHOP,
    )
    place, plan = planned(facts, goal())
    assert [(gap.equipment, gap.extra_minutes) for gap in equipment_gaps(place, plan)] == [("lift", 25)]
    place, plan = planned(facts, goal(), equipment="stands")
    assert [(gap.equipment, gap.extra_minutes) for gap in equipment_gaps(place, plan)] == [("stands", None)]


def test_gap_leaves_out_what_is_elsewhere_in_either() -> None:
    facts = workshop(
        operation("goal", entails="align"), operation("align", 45, equipment="rig"),
        places={"joint": AxleLocation(ways=(way("goal"),))}, equipment=SHOP,
    )  # fmt: skip
    part = goal(bench=bench(9, equipment="press"))
    place, plan = planned(facts, part)
    found = {gap.equipment: gap.extra_minutes for gap in equipment_gaps(place, plan)}
    assert found == {"rig": 0, "press": 0}


def two_cars():  # type: ignore[no-untyped-def]
    facts = workshop(
        operation("tray", 10, if_absent="open", conditions="body = saloon"),
        operation("hatch", 25, if_absent="blocked", conditions="body = estate"),
        operation("goal", needs="tray | hatch"),
        places={"joint": AxleLocation(ways=(way("goal"),))},
    )
    saloon = JobCar("V1", {"front": "F1"}, frozenset({"F1/hatch"}))
    estate = JobCar("V2", {"front": "F1"}, frozenset({"F1/tray"}))
    return facts, saloon, estate


def test_the_dearest_car_is_shown_and_differing_plans_are_said() -> None:
    facts, saloon, estate = two_cars()
    shown = plan_for(facts, JobScope((estate, saloon), (goal(),), "left", frozenset()))
    assert isinstance(shown, CostliestCar)
    assert (shown.setup.car.variant, shown.plan.cost, shown.varies) == ("V1", 20, True)
    shown = plan_for(
        facts, JobScope((saloon, JobCar("V0", {"front": "F1"}, saloon.absent)), (goal(),), "left", frozenset())
    )
    assert isinstance(shown, CostliestCar)
    assert (shown.setup.car.variant, shown.varies) == ("V0", False)


def test_a_car_without_a_plan_makes_the_job_one_without() -> None:
    facts, saloon, _ = two_cars()
    neither = JobCar("V3", {"front": "R1"}, frozenset())
    with pytest.raises(NoPlan) as refused:
        plan_for(facts, JobScope((saloon, neither), (goal(),), "left", frozenset()))
    assert (refused.value.variant, refused.value.opens) == ("V3", {"P front.joint": []})


def test_only_the_goals_without_a_way_are_named() -> None:
    facts = workshop(
        operation("a", equipment="lift"), operation("b"),
        places={"a": AxleLocation(ways=(way("a"),)), "b": AxleLocation(ways=(way("b"),))}, equipment=SHOP,
    )  # fmt: skip
    with pytest.raises(NoPlan) as refused:
        plan_for(facts, JobScope((CAR,), (goal("a"), goal("b", part="Q")), "both", frozenset()))
    assert refused.value.opens == {"P front.a": [["lift"]]}


@pytest.fixture
def times():  # type: ignore[no-untyped-def]
    facts = shared_way_in()

    def job(minutes: int, *goals, car="", after=False, sides=1):  # type: ignore[no-untyped-def]
        return RecordedJob((CAR,), goals or (goal("a"),), sides, facts.pieces(), after, Fraction(minutes), car)

    return facts, job


def test_recorded_jobs_teach_their_axle_by_car(times) -> None:  # type: ignore[no-untyped-def]
    facts, job = times
    jobs = [job(72), job(36, car="x"), job(18, car="x")]
    found = axle_factors(facts, jobs, ["F1"])["F1"]
    # the plan takes 36 minutes: ln 2 once, and the mean of 0 and -ln 2 for car x
    expected = axle_factor([("", 0.6931471805599453), ("x", 0.0), ("x", -0.6931471805599453)])
    assert (found.cars, found.mean) == (2, pytest.approx(expected.mean))


def test_jobs_on_both_ends_or_without_a_plan_teach_nothing(times) -> None:  # type: ignore[no-untyped-def]
    facts, job = times
    jobs = [job(90, goal("a"), goal("r", part="R", end="rear")), job(50, goal("missing")), job(0)]
    found = axle_factors(facts, jobs, ["F1", "R1"])
    assert [factor.cars for factor in found.values()] == [0, 0]


def test_after_work_counts_where_the_recorded_job_had_it() -> None:
    facts = workshop(
        operation("a", 30, entails="test"), operation("test", 10), places={"a": AxleLocation(ways=(way("a"),))}
    )
    jobs = [RecordedJob((CAR,), (goal("a"),), 1, frozenset(), after, Fraction(40)) for after in (True, False)]
    with_after, without = (axle_factors(facts, [job], ["F1"])["F1"] for job in jobs)
    assert (with_after.cars, with_after.mean) == (1, 0.0)
    assert without.mean == pytest.approx(axle_factor([("", 0.28768207245178085)]).mean)  # ln(40 / 30)


def test_a_plan_of_no_minutes_and_a_job_of_another_axle_teach_nothing(times) -> None:  # type: ignore[no-untyped-def]
    facts, job = times
    free = workshop(operation("a", 0), places={"a": AxleLocation(ways=(way("a"),))})
    assert axle_factors(free, [job(10)], ["F1"])["F1"].cars == 0
    assert list(axle_factors(facts, [job(50), job(50, goal("r", part="R", end="rear"))], ["R1"])) == ["R1"]
    assert axle_factors(facts, [job(50)], ["R1"])["R1"].cars == 0
