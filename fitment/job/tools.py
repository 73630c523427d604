"""Everything needed on the bench first: equipment, drives, counter-holds, torque wrenches, press tools."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import combinations
from math import ceil

from catalog.codes import ToolKind
from fitment.answers.job import FastenerLine, PressTools, Tool
from fitment.domain.procedures import Groups, pieces_used
from fitment.job.access_plan import JobSetup, Plan

# N m; ISO 6789-1:2017: a wrench is specified from 20 % to 100 % of its maximum (from memory)
TORQUE_WRENCHES = ((5, 25), (20, 100), (40, 200), (100, 500))
# common practice, no source
PUSHER_UNDER_BODY_MM = Decimal("0.5")
CUP_OVER_PIECE_MM = Decimal(1)
RATING_OVER_FORCE = 2
RATING_STEP_KN = 10


@dataclass(frozen=True, slots=True)
class PressSizes:
    """What press tools are made from, mm and N; None where not known.

    body_min, body_max: outside of the part; bore_max: the greatest bore, through which the old joint passes; eye:
    outside of the arm's eye; force: greatest press-in force.
    """

    body_min: Decimal | None
    body_max: Decimal | None
    bore_max: Decimal | None
    eye: Decimal | None
    force: float | None = None


def plan_tools(setup: JobSetup, plan: Plan, fasteners: Sequence[FastenerLine]) -> tuple[Tool, ...]:
    """All tools of a plan: equipment first, then those of its fasteners."""
    equipment = (Tool(ToolKind.EQUIPMENT, code) for code in equipment_used(setup, plan))
    return (*equipment, *fastener_tools(fasteners))


def equipment_used(setup: JobSetup, plan: Plan) -> tuple[str, ...]:
    """The pieces of equipment that work done here uses, sorted."""
    groups: list[Groups] = [operation.equipment for operation in setup.named(plan.counted)]
    groups += [work.bench.equipment for work in plan.bench if not work.elsewhere]
    return tuple(sorted({code for each in groups for code in pieces_used(each, setup.equipment)}))


def fastener_tools(fasteners: Sequence[FastenerLine]) -> list[Tool]:
    """Drives, counter-holds and torque wrenches of the fasteners, sorted within each kind."""
    recorded = {line.drive for line in fasteners if not line.usual}
    drives = {line.drive for line in fasteners if line.drive}
    counter_holds = {line.counter_hold for line in fasteners if line.counter_hold}
    wrenches, beyond = torque_wrenches(line.torque_nm for line in fasteners if line.torque_nm)
    return [
        *(Tool(ToolKind.DRIVE, code, code not in recorded) for code in sorted(drives, key=_by_size)),
        *(Tool(ToolKind.COUNTER_HOLD, code) for code in sorted(counter_holds, key=_by_size)),
        *(Tool(ToolKind.TORQUE_WRENCH, f"{least}-{most}") for least, most in wrenches),
        *(Tool(ToolKind.TORQUE_BEYOND, f"{torque.normalize():f}") for torque in beyond),
    ]


def _by_size(code: str) -> tuple[str, float, str]:
    """`8 hex` before `13 hex`, E and T by number."""
    digits = "".join(c for c in code if c.isdigit() or c == ".")
    rest = "".join(c for c in code if not c.isdigit() and c != ".").strip()
    try:
        return rest, float(digits), code
    except ValueError:
        return rest, 0.0, code


def torque_wrenches(torques_nm: Iterable[Decimal]) -> tuple[list[tuple[int, int]], list[Decimal]]:
    """The fewest wrenches that cover all torques, and the torques that none covers, ascending; N m.

    Of several sets equally few the one with the smaller wrenches, compared from the smallest up.

    >>> torque_wrenches([Decimal(110), Decimal(30), Decimal(900)])
    ([(20, 100), (40, 200)], [Decimal('900')])
    """
    torques = sorted(set(torques_nm))
    beyond = [torque for torque in torques if not any(covers(wrench, torque) for wrench in TORQUE_WRENCHES)]
    inside = [torque for torque in torques if torque not in beyond]
    for count in range(len(TORQUE_WRENCHES) + 1):
        for chosen in combinations(TORQUE_WRENCHES, count):
            if all(any(covers(wrench, torque) for wrench in chosen) for torque in inside):
                return list(chosen), beyond
    raise AssertionError("all wrenches together cover what some wrench covers")


def covers(wrench: tuple[int, int], torque_nm: Decimal) -> bool:
    """Whether a torque in N m lies in a wrench's range, ends included."""
    return wrench[0] <= torque_nm <= wrench[1]


def press_tools(part: str, place: str, sizes: PressSizes) -> PressTools:
    """Pusher, receiving cup and press of one pressed-in part at one place, in whole millimetres: the public figures.

    The pusher stands on the housing's shoulder, half a millimetre inside the body; the cup lets the widest piece pass
    with a millimetre to spare and stays below the eye's outside; the press is rated at twice the force, up to the
    next 10 kN. Pusher and cup outside are rounded down, the cup's inside up.

    >>> sizes = PressSizes(Decimal("62.01"), Decimal("62.03"), Decimal("61.99"), Decimal(72), 21_000.0)
    >>> tools = press_tools("P", "front.x", sizes)
    >>> tools.pusher_outside_mm, tools.cup_inside_mm, tools.cup_outside_mm, tools.press_kn
    (61, 64, 71, 50)
    """
    passing = [size for size in (sizes.body_max, sizes.bore_max) if size is not None]
    rating = None
    if sizes.force is not None and sizes.force > 0:
        rating = ceil(RATING_OVER_FORCE * sizes.force / 1000 / RATING_STEP_KN) * RATING_STEP_KN
    return PressTools(
        part,
        place,
        pusher_outside_mm=None
        if sizes.body_min is None
        else _whole(sizes.body_min - PUSHER_UNDER_BODY_MM, ROUND_FLOOR),
        cup_inside_mm=_whole(max(passing) + CUP_OVER_PIECE_MM, ROUND_CEILING) if passing else None,
        cup_outside_mm=None if sizes.eye is None else _whole(sizes.eye, ROUND_CEILING) - 1,
        press_kn=rating,
    )


def _whole(size_mm: Decimal, rounding: str) -> int:
    return int(size_mm.to_integral_value(rounding))
