"""The plan with what a home has: least grade first, then least minutes."""

from fitment.domain.procedures import AxleLocation, Equipment
from fitment.job.comparisons import home_plan
from tests.fitment.job.workshops import bench, goal, operation, site, way, workshop

TOOLS = {
    "lift": Equipment("lift"),
    "stands": Equipment("stands", home=True, least_grade=2),
    "press": Equipment("press"),
}


def test_an_easier_way_is_taken_though_it_is_longer() -> None:
    steps = (operation("quick", 5, skill=4), operation("slow", 60, skill=2), operation("goal", needs="quick | slow"))
    facts = workshop(*steps, places={"joint": AxleLocation(ways=(way("goal"),))}, equipment=TOOLS)
    found = home_plan(site(facts, goal()), [goal()])
    assert found is not None
    assert (found.plan.operations, found.grade.value) == (("F1/slow", "F1/goal"), 2)


def test_minutes_of_one_side_set_a_floor_so_the_quicker_way_is_taken() -> None:
    """Whatever is done the least plan of one side takes over 90 minutes: grade 3 either way, so the time decides."""
    steps = (
        operation("quick", 5, skill=3),
        operation("slow", 60, skill=2),
        operation("goal", 95, needs="quick | slow"),
    )
    facts = workshop(*steps, places={"joint": AxleLocation(ways=(way("goal"),))}, equipment=TOOLS)
    found = home_plan(site(facts, goal()), [goal()])
    assert found is not None
    assert found.plan.operations == ("F1/quick", "F1/goal")
    assert (found.grade.value, found.grade.set_by) == (3, ("skill:F1/quick", "time"))


def test_a_home_without_a_press_does_all_but_the_bench_work() -> None:
    facts = workshop(operation("goal"), places={"joint": AxleLocation(ways=(way("goal"),))}, equipment=TOOLS)
    part = goal(bench=bench(20, equipment="press", skill=5))
    found = home_plan(site(facts, part), [part])
    assert found is not None
    assert [(work.part, work.elsewhere) for work in found.plan.bench] == [("P", True)]
    assert found.grade.value == 1


def test_no_home_plan_where_the_joint_must_be_pressed_in_place() -> None:
    facts = workshop(
        operation("goal"), places={"joint": AxleLocation(ways=(way("goal", piece_out=False),))}, equipment=TOOLS
    )
    part = goal(bench=bench(20, equipment="press"))
    assert home_plan(site(facts, part), [part]) is None
