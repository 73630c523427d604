"""Plans that can be followed on paper: each file says in one sentence why."""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from fitment.domain.procedures import (
    AxleLocation,
    AxleProcedures,
    Bench,
    Goal,
    Groups,
    JobCar,
    Operation,
    PartWork,
    Way,
    Workshop,
)
from fitment.job.access_plan import JobSetup, Plan, opened_ends

CASES = {path.stem: json.loads(path.read_text()) for path in sorted((Path(__file__).parent / "cases").glob("*.json"))}
ASKS = [(name, number) for name, case in CASES.items() for number in range(len(case["asks"]))]


def groups(text: str) -> Groups:
    return tuple(tuple(code.strip() for code in group.split("|")) for group in text.split(";") if group.strip())


def workshop(case: dict[str, Any], if_absent: dict[str, str]) -> Workshop:
    axles: dict[str, AxleProcedures] = {}
    for row in case["operations"]:
        axle = axles.setdefault(
            row["axle"], AxleProcedures(row["axle"], "rear" if row["axle"][0] == "R" else "front", {}, {})
        )
        axle.operations[row["operation"]] = Operation(
            axle=row["axle"], code=row["operation"], remove=Fraction(row["minutes"]), zone=row["zone"],
            per_side=row["per_side"] == "yes", needs=groups(row["needs"]), entails=tuple(row["entails"].split()),
            equipment=groups(row["equipment"]), alignment=row["alignment"] == "yes",
            if_absent=if_absent.get(row["operation"], row["if_absent"]),
        )  # fmt: skip
    for row in case["ways"]:
        places = axles[row["axle"]].locations
        place = places.get(row["location"], AxleLocation())
        work = case["bench"].get(f"{row['axle']}/{row['location']}", {})
        way = Way(row["way"], groups(row["operations"]), row["piece_out"] == "yes")
        places[row["location"]] = AxleLocation(work.get("pieces", 1), work.get("per") == "axle", (*place.ways, way))
    return Workshop(axles)


def plan(case: dict[str, Any], ask: dict[str, Any]) -> Plan | None:
    facts = workshop(case, ask["if_absent"])
    absent = frozenset(f"{axle}/{code}" for axle in facts.axles for code in ask["not_there"])
    car = JobCar("V1", {axle.end: axle.code for axle in facts.axles.values()}, absent)
    goals = []
    for location in ask["locations"]:
        end = next(axle.end for axle in facts.axles.values() if location in axle.locations)
        work = case["bench"].get(f"{car.axles[end]}/{location}")
        bench = Bench(Fraction(work["minutes"]), equipment=groups(work["equipment"])) if work else None
        goals.append(Goal(PartWork(f"P-{location}", "A", bench=bench), end, location))
    ends = opened_ends(car, facts, goals)
    assert ends is not None
    return JobSetup(facts, car, ends, ask["sides"], frozenset(ask["equipment"])).min_cost_plan(goals)


@pytest.mark.parametrize(("name", "number"), ASKS, ids=[f"{name}-{number}" for name, number in ASKS])
def test_paper_case(name: str, number: int) -> None:
    case = CASES[name]
    ask = case["asks"][number]
    found, expected = plan(case, ask), ask["expected"]
    if expected is None:
        assert found is None, ask["why"]
        return
    assert found is not None, ask["why"]
    assert found.proven
    seen = {
        "minutes": float(found.minutes),
        "after_minutes": float(found.after_minutes),
        "operations": list(found.operations),
        "after": list(found.after),
        "elsewhere": sorted(found.elsewhere),
        "ways": {goal.location: found.ways[goal.name] for goal in found.goals},
        "bench": [
            {"location": work.part.removeprefix("P-"), "pieces": work.pieces,
             "minutes": None if work.elsewhere else float(work.minutes), "elsewhere": work.elsewhere}
            for work in found.bench
        ],
    }  # fmt: skip
    assert seen == expected, ask["why"]
