"""Least plans of small AND/OR graphs: derived, and checked by brute force two ways (values.json, topic plans)."""

from fractions import Fraction

import pytest

from fitment.domain.procedures import AxleLocation, AxleProcedures, Goal, JobCar, Operation, PartWork, Way, Workshop
from fitment.job.access_plan import JobSetup
from tests.published import VALUES

PLANS = {name: case for name, case in VALUES["plans"].items() if "ops" in case["inputs"]}


@pytest.mark.parametrize("name", PLANS)
def test_plan(name: str) -> None:
    case = PLANS[name]
    operations = {
        code: Operation(
            axle="F1", code=code, remove=Fraction(row["minutes"]), needs=tuple(map(tuple, row.get("needs", ()))),
            entails=tuple(row.get("entails", ())),
        )
        for code, row in case["inputs"]["ops"].items()
    }  # fmt: skip
    way = Way("way", tuple(map(tuple, case["inputs"]["goals"])))
    workshop = Workshop({"F1": AxleProcedures("F1", "front", operations, {"joint": AxleLocation(ways=(way,))})})
    goal = Goal(PartWork("P", "A"), "front", "joint")
    plan = JobSetup(workshop, JobCar("V1", {"front": "F1"}), ("front",), 1, frozenset()).min_cost_plan([goal])
    if case["expected"].get("plan", ...) is None:
        assert plan is None, case["source"]
        return
    assert plan is not None, case["source"]
    assert plan.cost == case["expected"]["minutes"], case["source"]
    assert sorted(code.partition("/")[2] for code in plan.members) == case["expected"]["operations"], case["source"]


def test_two_rows_beat_the_greedy_columns() -> None:
    """Chvatal's family: the least number of sets, where greedy by most uncovered takes one more."""
    case = VALUES["plans"]["chvatal_greedy_family"]
    sets = case["inputs"]["sets"]
    operations = {code: Operation(axle="F1", code=code, remove=Fraction(1)) for code in sets}
    groups = tuple(
        tuple(code for code, elements in sets.items() if element in elements)
        for element in range(case["inputs"]["universe"])
    )
    workshop = Workshop(
        {"F1": AxleProcedures("F1", "front", operations, {"joint": AxleLocation(ways=(Way("way", groups),))})}
    )
    site = JobSetup(workshop, JobCar("V1", {"front": "F1"}), ("front",), 1, frozenset())
    plan = site.min_cost_plan([Goal(PartWork("P", "A"), "front", "joint")])
    assert plan is not None
    assert plan.cost == case["expected"]["optimum"], case["source"]
    assert {name.partition("/")[2] for name in plan.members} == set(case["expected"]["optimum_sets"])
