"""Checks over a catalogue that stands: a change is refused at the row that it breaks, in the file or kept."""

import pytest

from tests.catalog.workbook.small import SHEETS, small

pytestmark = pytest.mark.django_db


def row(sheet: str, at: int, **changed: str) -> dict[str, list[dict[str, str]]]:
    """A workbook of one row of the small catalogue, changed."""
    return {sheet: [SHEETS[sheet][at] | changed]}


def key_of(sheet: str, at: int, *names: str) -> dict[str, str]:
    return {name: SHEETS[sheet][at][name] for name in names} | {"remove": "yes"}


def said(report) -> list[tuple[str, int | None, str | None]]:
    return [(error.sheet, error.row, error.column) for error in report.errors]


KEPT = [
    # what is loaded, and where the row is that it breaks
    ({"equipment": [key_of("equipment", 0, "equipment")]}, ("job_times", None, "equipment")),
    ({"locations": [key_of("locations", 0, "topology", "location")]}, ("joints", None, "location")),
    (row("variants", 1, market="EU"), ("fit_decisions", None, "conditions")),
    (row("variants", 0, front_axle=""), ("test_fits", None, "axle")),
    (row("topologies", 2, end="front"), ("axles", None, "topology")),
    (row("axles", 0, end="rear", topology="five_link"), ("variants", None, "front_axle")),
    (row("options", 2, group="ride"), ("options", 2, "required")),
    (row("platforms", 0, predecessor="QN4"), ("platforms", 2, "predecessor")),
    (row("locations", 2, link_end="upright"), ("locations", 2, "link_end")),
    (row("operations", 3, zone="car", needs="arm_off"), ("operations", 2, "needs")),
]  # fmt: skip


@pytest.mark.parametrize(("change", "broken"), KEPT, ids=lambda value: str(value)[:40])
def test_a_change_is_refused_at_the_row_that_it_breaks(loaded, change, broken):
    report = loaded(change, check=True)
    assert broken in said(report), report.lines()
    kept = [error.wrong for error in report.errors if (error.sheet, error.row, error.column) == broken]
    assert all(wrong.startswith("kept row ") == (broken[1] is None) for wrong in kept)


def test_a_spring_rests_on_hardpoints_that_go(loaded):
    assert not loaded(row("wheels", 0, spring_kind="link", spring_link="arm")).errors
    assert said(loaded({"hardpoints": [key_of("hardpoints", 0, "axle", "link")]})) == [("wheels", None, "spring_link")]


def test_a_weaker_fastener_is_held_against_the_torques_of_revisions(loaded):
    """The torque that a revision asks is judged with the thread and grade of the fastener that stands."""
    report = loaded({"fasteners": [SHEETS["fasteners"][0] | {"thread": "M8", "grade": "8.8", "torque_nm": "20"}]})
    assert said(report) == [("fastener_changes", None, "torque_nm")]
    assert "above the ultimate" in report.errors[0].wrong


def test_what_a_step_of_the_car_names_stays_one(loaded):
    step = SHEETS["operations"][3] | {"zone": "car", "alignment": "no"}
    other = step | {"operation": "wash", "needs": "align"}
    way = SHEETS["ways"][0] | {"way": "wash_in", "operations": "wash"}
    assert not loaded({"operations": [step, other], "ways": [way]}).errors
    report = loaded({"operations": [step | {"zone": ""}]})
    assert said(report) == [("operations", None, "needs")]
    assert "kept row FX1 / wash: the step of the car names 'align'" in report.errors[0].wrong


def test_a_step_of_the_car_is_one_at_every_axle(loaded):
    there = SHEETS["operations"][0] | {"axle": "RX1", "zone": ""}
    way = SHEETS["ways"][0] | {"axle": "RX1", "location": "toe.inner", "operations": "lift_car"}
    report = loaded({"operations": [there], "ways": [way]})
    assert said(report) == [("operations", 2, "zone")]
    assert "'lift_car' is a step of the car at FX1" in report.errors[0].wrong


@pytest.mark.parametrize(
    ("options", "conditions", "components"),
    [
        (
            {"required": "yes"},
            "option.SPORT = no",
            "C1",
        ),  # one of the group is on every car, and SPORT is all V1 may have
        ({"required": "no"}, "option.SPORT = no", "C1 or C2"),
        ({"required": "no"}, "option.SPORT = no; option.COMFORT = yes", "C1"),  # COMFORT is not to be had
        ({"required": "no"}, "option.TOW = no", "C1"),  # standard: always there
        ({"required": "no"}, "option.TOW = yes", "C1 or C2"),
        ({"required": "no"}, "option.SPORT = yes; option.SPORT = no", "C1"),
        ({"required": "no"}, "engine = E30", "C1"),  # V1 has another
    ],
)
def test_a_component_left_out_is_one_that_some_complete_car_has(load, options, conditions, components):
    sheets = small()
    for option in sheets["options"][:2]:
        option |= options
    sheets["joints"][1]["conditions"] = conditions
    sheets["joints"][2]["conditions"] = ""
    sheets["joints"][1]["alternative"] = sheets["joints"][2]["alternative"] = "yes"
    sheets["test_fits"][0]["component"] = ""
    report = load(sheets, check=True)
    if " or " in components:
        assert [error.wrong for error in report.errors] == [f"the variant V1 may have {components} there"]
    else:
        assert not report.errors, report.lines()


def test_a_component_left_out_is_not_looked_for_at_other_times(load):
    """Joints made before or after the variant are none of its own."""
    sheets = small()
    sheets["joints"][1] |= {"conditions": "", "built_from": "2019-08"}
    sheets["test_fits"][0]["component"] = ""
    assert not load(sheets, check=True).errors
    sheets["joints"][1]["built_from"] = "2019-07"
    assert [error.column for error in load(sheets, check=True).errors] == ["component"]


def test_equal_limits_are_in_order(load):
    sheets = small()
    sheets["components"][0] |= {"bore_min_mm": "62", "bore_max_mm": "62"}
    sheets["variants"][0] |= {"built_from": "2014-03-01", "built_to": "2014-03-01"}
    sheets["holds"][0] |= {"batch_from": "2212", "batch_to": "2212"}
    assert not load(sheets, check=True).errors
