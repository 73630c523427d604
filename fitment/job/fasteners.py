"""The fasteners of a plan as they are found, with what the parts ordered change at them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from fitment.domain.procedures import Fastener, FastenerChange, Goal, Operation, Part
from fitment.job.drives import usual_drive

FITTED, RIDE_HEIGHT = "fitted", "ride_height"


@dataclass(frozen=True, slots=True)
class FastenerLine:
    """A fastener of a plan. count: pieces on the sides done; usual: the drive is its standard's, not recorded."""

    operation: str
    fastener: str
    number: str
    count: int
    thread: str
    grade: str
    head: str
    drive: str
    usual: bool
    counter_hold: str
    torque_nm: Decimal | None
    angle_deg: Decimal | None
    tighten_at: str
    single_use: bool
    locking: str
    note: str


def parts_of(goals: Iterable[Goal]) -> list[Part]:
    """The parts ordered, each revision once."""
    return list({(goal.part.code, goal.part.revision): goal.part for goal in goals}.values())


def changes_at(parts: Iterable[Part], operation: Operation, fastener: Fastener) -> list[tuple[Part, FastenerChange]]:
    """What the parts change at one fastener."""
    key = (operation.axle, operation.code, fastener.code)
    return [(part, part.changes[key]) for part in parts if key in part.changes]


def fastener_lines(operations: Iterable[Operation], goals: Sequence[Goal], sides: int) -> list[FastenerLine]:
    """The fasteners of the operations done here, in their order. Of several changes the first that states it counts."""
    parts = parts_of(goals)
    return [
        _line(operation, fastener, [change for _, change in changes_at(parts, operation, fastener)], sides)
        for operation in operations
        for fastener in operation.fasteners
    ]


def _line(operation: Operation, fastener: Fastener, changes: Sequence[FastenerChange], sides: int) -> FastenerLine:
    proposed = "" if fastener.drive else usual_drive(fastener.thread, fastener.head)
    torques = [c.torque_nm for c in changes if c.torque_nm is not None]
    angles = [c.angle_deg for c in changes if c.angle_deg is not None]
    return FastenerLine(
        operation=operation.name,
        fastener=fastener.code,
        number=fastener.number,
        count=fastener.count * operation.times(sides),
        thread=fastener.thread,
        grade=fastener.grade,
        head=fastener.head,
        drive=fastener.drive or proposed,
        usual=bool(proposed),
        counter_hold=fastener.counter_hold,
        torque_nm=torques[0] if torques else fastener.torque_nm,
        angle_deg=angles[0] if angles else fastener.angle_deg,
        tighten_at=fastener.tighten_at or FITTED,
        single_use=fastener.single_use,
        locking=", ".join(dict.fromkeys(c.locking for c in changes if c.locking)),
        note=fastener.note,
    )
