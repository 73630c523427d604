"""Fasteners, tools and what to order."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitment.answers.job import Tool
from fitment.domain.procedures import AxleLocation, Equipment, FastenerChange
from fitment.job.fasteners import fastener_lines, kits_for, to_order
from fitment.job.tools import TORQUE_WRENCHES, covers, equipment_used, fastener_tools, torque_wrenches
from tests.fitment.job.workshops import CAR, bench, bolt, goal, operation, planned, way, workshop

CHANGED = ("F1", "goal", "f1")


def lines(*fasteners, part=None, sides=2, per_side=True):  # type: ignore[no-untyped-def]
    return fastener_lines([operation("goal", fasteners=fasteners, per_side=per_side)], [part or goal()], sides)


def test_counts_are_for_the_sides_done() -> None:
    (both,) = lines(bolt(count=2))
    (once,) = lines(bolt(count=2), per_side=False)
    assert (both.count, once.count) == (4, 2)


def test_a_missing_drive_is_proposed_and_said_to_be_usual() -> None:
    proposed, recorded, unknown = lines(
        bolt(thread="M12x1.5", head="hex"),
        bolt("f2", thread="M12x1.5", head="hex", drive="19 hex"),
        bolt("f3", thread="M12x1.5", head="external_hexalobular"),
    )
    assert [(line.drive, line.usual) for line in (proposed, recorded, unknown)] == [
        ("18 hex", True), ("19 hex", False), ("", False),
    ]  # fmt: skip


def test_a_part_changes_torque_angle_and_locking() -> None:
    change = FastenerChange(torque_nm=Decimal(90), locking="thread lock")
    (line,) = lines(bolt(torque_nm=110, angle_deg=90), part=goal(changes={CHANGED: change}))
    assert (line.torque_nm, line.angle_deg, line.locking) == (90, 90, "thread lock")


def test_tools_of_fasteners_once_each_by_size() -> None:
    found = fastener_tools(
        lines(
            bolt(thread="M16", head="hex", torque_nm=150),
            bolt("f2", drive="13 hex", torque_nm=20),
            bolt("f3", drive="E14", counter_hold="18 hex", torque_nm=600),
            bolt("f4", drive="13 hex"),
        )
    )
    assert found == [
        Tool("drive", "E14"),
        Tool("drive", "13 hex"),
        Tool("drive", "24 hex", usual=True),
        Tool("counter_hold", "18 hex"),
        Tool("torque_wrench", "5-25"),
        Tool("torque_wrench", "40-200"),
        Tool("torque_beyond", "600"),
    ]


@pytest.mark.parametrize(
    ("torques", "wrenches", "beyond"),
    [
        ([], [], []),
        ([22], [(5, 25)], []),
        ([30, 110], [(20, 100), (40, 200)], []),
        ([50, 110], [(40, 200)], []),
        ([100], [(20, 100)], []),
        ([4, 501], [], [4, 501]),
        ([5, 25, 100, 500], [(5, 25), (100, 500)], []),
    ],
)
def test_torque_wrenches(torques: list[int], wrenches: list[tuple[int, int]], beyond: list[int]) -> None:
    assert torque_wrenches(map(Decimal, torques)) == (wrenches, beyond)


@given(st.lists(st.integers(1, 600)))
def test_torque_wrenches_cover_all_and_none_is_spare(torques: list[int]) -> None:
    chosen, beyond = torque_wrenches(map(Decimal, torques))
    inside = [Decimal(torque) for torque in torques if torque not in beyond]
    assert all(any(covers(wrench, torque) for wrench in chosen) for torque in inside)
    for left_out in chosen:
        rest = [wrench for wrench in chosen if wrench != left_out]
        assert not all(any(covers(wrench, torque) for wrench in rest) for torque in inside)
    assert all(not any(covers(wrench, torque) for wrench in TORQUE_WRENCHES) for torque in beyond)


def test_equipment_of_work_done_here_only() -> None:
    facts = workshop(
        operation("goal", equipment="lift | stands", entails="check"),
        operation("check", equipment="tester"),
        places={"joint": AxleLocation(ways=(way("goal"),))},
        equipment={code: Equipment(code) for code in ("lift", "stands", "press", "tester")},
    )
    part = goal(bench=bench(5, equipment="press"))
    place, plan = planned(facts, part, equipment="stands tester")
    assert equipment_used(place, plan) == ("stands", "tester")


def order(*fasteners, part=None, pieces=1, per_axle=False, sides=2):  # type: ignore[no-untyped-def]
    step = operation("goal", fasteners=fasteners, per_side=True, consumables="grease")
    facts = workshop(step, places={"joint": AxleLocation(pieces, per_axle, (way("goal"),))})
    return to_order(facts, CAR, [part or goal()], [step], sides)


def test_single_use_fasteners_of_the_sides_done_by_number() -> None:
    found = order(
        bolt(number="N 1", count=2, single_use=True),
        bolt("f2", number="N 1", single_use=True),
        bolt("f3", number="N 2"),
        bolt("f4", single_use=True),
    )
    assert [(row.number, row.fastener, row.count) for row in found.fasteners] == [("", "f4", 2), ("N 1", "f2", 6)]
    assert found.consumables == ("grease",)


def test_what_the_kits_supply_is_not_ordered_and_never_below_nought() -> None:
    def ordered(supplied: int) -> list[int]:
        part = goal(changes={CHANGED: FastenerChange(supplied=supplied)})
        found = order(bolt(number="N 1", count=2, single_use=True), part=part)
        return [row.count for row in found.fasteners]

    # two kits, one a side: four bolts are needed
    assert [ordered(0), ordered(1), ordered(2), ordered(3)] == [[4], [2], [], []]


@pytest.mark.parametrize(
    ("pieces", "per_axle", "kit_pieces", "sides", "expected"),
    [
        (1, False, 1, 2, 2),
        (1, False, 2, 2, 1),
        (2, True, 1, 1, 2),
        (2, True, 4, 2, 1),
        (3, False, 2, 2, 3),
        (3, False, 4, 1, 1),
    ],
)
def test_kits_of_a_part(pieces: int, per_axle: bool, kit_pieces: int, sides: int, expected: int) -> None:
    found = order(part=goal(kit_pieces=kit_pieces), pieces=pieces, per_axle=per_axle, sides=sides)
    assert [bag.kits for bag in found.kits] == [expected]


def test_kits_are_rounded_up_once_over_all_places_of_a_part() -> None:
    places = {"one": AxleLocation(3), "two": AxleLocation(3)}
    (bag,) = kits_for(workshop(places=places), CAR, [goal("one", kit_pieces=4), goal("two", kit_pieces=4)], 1)
    assert (bag.pieces, bag.kits) == (6, 2)
