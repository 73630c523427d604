"""The steps in order, with what is tightened when; cautions, press tools, the code of an instruction."""

from decimal import Decimal

import pytest

from catalog.codes import ToolKind
from fitment.answers.job import Tool
from fitment.domain.procedures import AxleLocation, Equipment, Hazard
from fitment.job.fasteners import fastener_lines
from fitment.job.instruction import instruction_code, is_code
from fitment.job.steps import cautions, steps
from fitment.job.tools import PressSizes, press_tools
from fitment.text.job import cause_words, step_text, tool_words
from tests.fitment.job.workshops import bench, bolt, goal, operation, planned, way, workshop


def example():  # type: ignore[no-untyped-def]
    facts = workshop(
        operation("up", 6, refit=2, hazards="raised", text="Raise the car."),
        operation(
            "goal", 10, refit=12, per_side=True, needs="up", entails="check",
            fasteners=(bolt(torque_nm=50), bolt("f2", torque_nm=80, tighten_at="ride_height")),
        ),
        operation("check", 5, hazards="raised", equipment="tester"),
        places={"joint": AxleLocation(ways=(way("goal"),), title="inner joint")},
        equipment={"press": Equipment("press"), "tester": Equipment("tester")},
        hazards={"raised": Hazard("raised", "raised car", caution="Stands first.")},
    )  # fmt: skip
    part = goal(bench=bench(4, equipment="press"))
    place, plan = planned(facts, part, sides=2, equipment="press")
    lines = fastener_lines([place.operations[name] for name in plan.counted], [part], 2)
    return facts, place, plan, steps(place, plan, "both", lines)


def test_phases_in_the_order_of_work() -> None:
    _, _, plan, found = example()
    assert [(step.phase, step.operation) for step in found] == [
        ("remove", "F1/up"), ("remove", "F1/goal"), ("fit", None), ("refit", "F1/goal"), ("refit", "F1/up"),
        ("ride_height", "F1/goal"), ("after", "F1/check"),
    ]  # fmt: skip
    assert sum(step.minutes for step in found if step.minutes is not None) == plan.cost


def test_minutes_and_sides_of_the_steps() -> None:
    *_, found = example()
    assert [(step.minutes, step.side) for step in found] == [
        (6, None), (20, "both"), (8, "both"), (24, "both"), (2, None), (0, "both"), (None, None),
    ]  # fmt: skip


def test_what_waits_for_the_ride_height_is_not_tightened_at_refit() -> None:
    *_, found = example()
    by_phase = {step.phase: [line.fastener for line in step.fasteners] for step in found if step.operation == "F1/goal"}
    assert by_phase == {"remove": ["f1", "f2"], "refit": ["f1"], "ride_height": ["f2"]}


def test_work_elsewhere_asks_for_no_tools_here() -> None:
    *_, found = example()
    assert (found[-1].elsewhere, found[-1].tools, found[-1].hazards) == (True, (), ("raised",))


def test_sentences_of_added_steps() -> None:
    *_, found = example()
    assert step_text(found[0]) == "Raise the car."
    assert step_text(found[2]) == "Fit P at inner joint on both sides: 2 pieces."


def test_a_caution_names_all_its_steps() -> None:
    facts, place, plan, _ = example()
    (found,) = cautions(facts, [place.operations[name] for name in (*plan.operations, *plan.after)])
    assert (found.hazard, found.text, found.operations) == ("raised", "Stands first.", ("F1/up", "F1/check"))


@pytest.mark.parametrize(
    ("sizes", "expected"),
    [
        (PressSizes(Decimal("62.0"), Decimal("62.1"), Decimal("62.05"), Decimal(72), 12_000.0), (61, 64, 71, 30)),
        (PressSizes(Decimal("62.6"), Decimal("62.6"), None, Decimal("72.4"), 10_000.0), (62, 64, 72, 20)),
        (PressSizes(Decimal("30"), Decimal("30"), Decimal("31.5"), None, 0.0), (29, 33, None, None)),
        (PressSizes(None, None, None, None), (None, None, None, None)),
    ],
)
def test_press_tools_in_whole_millimetres(sizes: PressSizes, expected: tuple[int | None, ...]) -> None:
    """Pusher and cup outside down, cup inside up, below the eye, twice the force up to the next 10 kN."""
    found = press_tools("P", "front.joint", sizes)
    assert (found.pusher_outside_mm, found.cup_inside_mm, found.cup_outside_mm, found.press_kn) == expected


def test_the_code_changes_with_the_content_and_with_nothing_else() -> None:
    content = {"grade": 3, "operations": ["F1/up", "F1/goal"], "torque": "50"}
    again = {"torque": "50", "operations": ["F1/up", "F1/goal"], "grade": 3}
    code = instruction_code(content)
    assert instruction_code(again) == code
    assert instruction_code({**content, "torque": "55"}) != code
    assert instruction_code({**content, "operations": ["F1/goal", "F1/up"]}) != code
    assert is_code(code)
    assert not is_code(code.lower())


def test_words_for_tools_and_causes() -> None:
    assert tool_words(Tool(ToolKind.EQUIPMENT, "lift"), {"lift": "two-post lift"}) == "two-post lift"
    assert tool_words(Tool(ToolKind.TORQUE_WRENCH, "20-100")) == "torque wrench 20-100 N m"
    assert cause_words("hazard:spring", {"spring": "spring energy"}) == "the danger: spring energy"
