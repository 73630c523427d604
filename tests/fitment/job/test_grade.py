"""How hard a job is, and everything that makes it so."""

from fitment.domain.procedures import AxleLocation, Equipment, Hazard
from fitment.job.grade import plan_grade
from tests.fitment.job.workshops import bench, goal, operation, planned, way, workshop

TOOLS = {
    "clamps": Equipment("clamps", least_grade=3),
    "lift": Equipment("lift"),
    "stands": Equipment("stands", least_grade=2, home=True),
    "press": Equipment("press", least_grade=2),
}
DANGERS = {"spring": Hazard("spring", least_grade=3), "hot": Hazard("hot")}


def grade(*operations, sides=1, part=None, equipment=None):  # type: ignore[no-untyped-def]
    facts = workshop(*operations, places={"joint": AxleLocation(ways=(way("goal"),))}, equipment=TOOLS, hazards=DANGERS)
    place, plan = planned(facts, part or goal(), sides=sides, equipment=equipment)
    found = plan_grade(place, plan)
    return found.value, found.set_by


def test_nothing_sets_the_easiest_grade() -> None:
    assert grade(operation("goal", skill=1, equipment="lift", hazards="hot")) == (1, ())


def test_all_that_reach_the_grade_are_named() -> None:
    found = grade(operation("goal", skill=3, hazards="spring", equipment="clamps"))
    assert found == (3, ("equipment:clamps", "hazard:spring", "skill:F1/goal"))


def test_the_first_piece_at_hand_as_written_is_graded() -> None:
    step = operation("goal", equipment="lift | stands")
    assert grade(step) == (1, ())
    assert grade(step, equipment="stands") == (2, ("equipment:stands",))


def test_an_alignment_that_follows_here_is_grade_two() -> None:
    steps = (operation("goal", entails="align"), operation("align", alignment=True, equipment="lift"))
    assert grade(*steps) == (2, ("alignment",))
    assert grade(*steps, equipment="stands") == (1, ())


def test_bench_work_done_here_counts() -> None:
    step, part = operation("goal"), goal(bench=bench(5, skill=4, equipment="press"))
    assert grade(step, part=part) == (4, ("bench:P",))
    assert grade(step, part=part, equipment="lift") == (1, ())


def test_the_minutes_of_one_side_count_and_those_of_after_work_do_not() -> None:
    long, short = operation("goal", 91, per_side=True), operation("goal", 90, per_side=True)
    assert grade(long, sides=2) == (3, ("time",))
    assert grade(short, sides=2) == (1, ())
    assert grade(operation("goal", 181)) == (4, ("time",))
    assert grade(operation("goal", 10, entails="check"), operation("check", 300)) == (1, ())
