"""Two invented catalogues with jobs whose answers were worked out apart from this program.

`samples/*/jobs.json` has for each job the query and the answer expected. `unsure` names what the sample leaves open;
`gaps_elsewhere` the pieces of equipment without which work moves elsewhere, so that no gap is compared.
"""

import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

SAMPLES = Path(__file__).parent / "samples"
MINUTES = ("minutes", "after_minutes", "minutes_median", "minutes_p80", "saved_minutes")
EXACT = ("operations", "grade", "grade_set_by", "hours", "hours_p80", "proven", "varies", "observations")


def near(found: float | None, expected: float | None) -> bool:
    return found == expected if found is None or expected is None else abs(found - expected) < 0.001


def differences(job: dict[str, Any], expected: dict[str, Any]) -> list[str]:
    wrong = [f"{name}: {job[name]} not {expected[name]}" for name in MINUTES if not near(job[name], expected[name])]
    wrong += [f"{name}: {job[name]} not {expected[name]}" for name in EXACT if job[name] != expected[name]]
    compared = {
        "after": ([one["operation"] for one in job["after"]], expected["after"]),
        "elsewhere": ([one["operation"] for one in job["after"] if one["elsewhere"]], expected["elsewhere"]),
        "bench": (
            sorted((one["part"], one["pieces"], one["elsewhere"]) for one in job["bench"]),
            sorted((one["part"], one["pieces"], one["elsewhere"]) for one in expected["bench"]),
        ),
        "kits": (
            sorted((one["part"], one["kits"]) for one in job["to_order"]["kits"]),
            sorted((one["part"], one["kits"]) for one in expected["to_order"]["kits"]),
        ),
        "ordered fasteners": (
            sorted((one["number"], one["count"]) for one in job["to_order"]["fasteners"]),
            sorted((one["number"], one["count"]) for one in expected["to_order"]["fasteners"]),
        ),
        "consumables": (job["to_order"]["consumables"], expected["to_order"]["consumables"]),
        "tools": (tools(job), expected_tools(expected["tools"])),
        "fasteners": (
            [fastener(line, line["angle_deg"]) for line in job["fasteners"]],
            [fastener(line, float(line["angle_deg"] or 0) or None) for line in expected["fasteners"]],
        ),
        "home": (home(job["home"]), home(expected["home"])),
    }
    wrong += [f"{name}: {found} not {wanted}" for name, (found, wanted) in compared.items() if found != wanted]
    gaps = {one["equipment"]: one["extra_minutes"] for one in job["equipment_gaps"]}
    for row in expected["equipment_gaps"]:
        code, minutes = row["equipment"], row["extra_minutes"]
        if code not in expected["gaps_elsewhere"] and not near(gaps.get(code, -1), minutes):
            wrong.append(f"gap of {code}: {gaps.get(code)} not {minutes}")
    return wrong + extras(job, expected)


def tools(job: dict[str, Any]) -> set[tuple[str, str]]:
    return {(tool["kind"], tool["code"]) for tool in job["tools"]}


def expected_tools(tools: dict[str, list[str]]) -> set[tuple[str, str]]:
    kinds = {"equipment": "equipment", "drives": "drive", "usual": "drive", "counter_holds": "counter_hold",
             "torque_wrenches": "torque_wrench", "beyond": "torque_beyond"}  # fmt: skip
    return {(kind, str(code)) for name, kind in kinds.items() for code in tools[name]}


def fastener(line: dict[str, Any], angle: float | None) -> tuple[Any, ...]:
    names = ("operation", "fastener", "number", "count", "drive", "usual", "counter_hold", "torque_nm", "tighten_at")
    return (*(line[name] for name in names), angle, line["single_use"])


def home(plan: dict[str, Any]) -> tuple[Any, ...]:
    if not plan["possible"]:
        return (False,)
    return (True, plan["grade"], plan["hours"], list(plan["grade_set_by"]), plan["operations"], plan["after"])


def extras(job: dict[str, Any], expected: dict[str, Any]) -> list[str]:
    """Other parts: some must be there, some may be, none else; least first."""
    found = [(one["part"], one["location"], one["extra_minutes"], one["extra_grade"]) for one in job["while_in_there"]]
    must = [
        (one["part"], one["location"], one["extra_minutes"], one["extra_grade"]) for one in expected["while_in_there"]
    ]
    may = {(one["part"], one["location"]) for one in expected["may_be_there"]}
    wrong = []
    for part, location, minutes, grade in must:
        same = [one for one in found if one[:2] == (part, location)]
        if not same or not near(same[0][2], minutes) or same[0][3] != grade:
            wrong.append(f"{part} {location}: {same} not {minutes} and {grade}")
    known = may | {one[:2] for one in must}
    wrong += [f"{one[0]} {one[1]} cannot be added" for one in found if one[:2] not in known]
    if [one[2] for one in found] != sorted(one[2] for one in found):
        wrong.append("not least first")
    return wrong


@pytest.mark.parametrize("sample", ["jobs_201", "jobs_202"])
def test_jobs_of_a_sample_catalogue(sample: str, public) -> None:
    folder = SAMPLES / sample
    call_command("load_catalogue", str(folder), stdout=StringIO())
    wrong = []
    for row in json.loads((folder / "jobs.json").read_text(encoding="utf-8")):
        response = public.get(row["url"])
        expected = row["expected"]
        if response.status_code != expected["status"]:
            wrong.append(f"{row['url']}: {response.status_code} {response.content[:300]!r}")
        elif expected["status"] == 200:
            wrong += [f"{row['url']}: {text}" for text in differences(response.json(), expected)]
        elif expected["why"] == "no plan":
            problem = response.json()
            if (problem["reason"], problem["opens"]) != ("no_plan", expected["opens"]):
                wrong.append(f"{row['url']}: {problem}")
    assert not wrong, "\n".join(wrong)
