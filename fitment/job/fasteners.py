"""The fasteners of a plan, with what the parts ordered change; the usual drive where none is recorded.

What is found on a car wins over any standard: old heads (DIN 931/933) differ at M10, M12 and M14.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from catalog.bolts import nominal_diameter
from catalog.codes import Head, TightenAt
from fitment.answers.job import FastenerLine, FastenersToOrder, Kits, ToOrder
from fitment.domain.procedures import Fastener, FastenerChange, Goal, JobCar, Operation, PartWork, Workshop

# widths across flats of ISO 272 by thread, mm (from memory; sources differ at M14: 21 or 22)
ISO_272_HEX = {4: 7, 5: 8, 6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 18: 27, 20: 30, 22: 34, 24: 36}
# EN 1665:1997 Table 1, heavy series, and EN 1661:1997 Table 1 (from memory)
FLANGE_HEX = {5: 8, 6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 20: 30}
# ISO 4762:2004 Table 1 (from memory)
INTERNAL_HEX = {4: 3, 5: 4, 6: 5, 8: 6, 10: 8, 12: 10, 14: 12, 16: 14, 20: 17, 24: 19}
# ISO 14579 Table 1 with the sockets of ISO 10664 (from memory)
HEXALOBULAR = {4: 20, 5: 25, 6: 30, 8: 45, 10: 50, 12: 55, 14: 60, 16: 70, 20: 90}
STANDARDS = {
    Head.HEX: (ISO_272_HEX, "{} hex"),  # ISO 4014:2011 and ISO 4017:2014 Table 1
    Head.NUT: (ISO_272_HEX, "{} hex"),  # ISO 4032 Table 1
    Head.HEX_FLANGE: (FLANGE_HEX, "{} hex"),
    Head.FLANGE_NUT: (FLANGE_HEX, "{} hex"),
    Head.INTERNAL_HEX: (INTERNAL_HEX, "{} internal hex"),
    Head.INTERNAL_HEXALOBULAR: (HEXALOBULAR, "T{}"),
}
"""By head the sizes by thread, and how the drive is written."""


def usual_drive(thread: str, head: str) -> str:
    """The drive that the head's standard gives a thread; empty where there is none (external hexalobular heads,
    taper nuts and wheel bolts are only as recorded).

    >>> usual_drive("M12x1.5", "hex_flange"), usual_drive("M8", "internal_hexalobular"), usual_drive("M8", "wheel_bolt")
    ('18 hex', 'T45', '')
    """
    sizes, form = STANDARDS.get(head, ({}, ""))  # type: ignore[call-overload]  # a code is a text
    size = sizes.get(nominal_diameter(thread))
    return "" if size is None else form.format(size)


def parts_of(goals: Iterable[Goal]) -> list[PartWork]:
    """The parts ordered, each revision once."""
    return list({(goal.part.code, goal.part.revision): goal.part for goal in goals}.values())


def changes_at(
    parts: Iterable[PartWork], operation: Operation, fastener: Fastener
) -> list[tuple[PartWork, FastenerChange]]:
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
    torques = [*(change.torque_nm for change in changes if change.torque_nm is not None), fastener.torque_nm]
    angles = [*(change.angle_deg for change in changes if change.angle_deg is not None), fastener.angle_deg]
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
        torque_nm=torques[0],
        angle_deg=angles[0],
        tighten_at=fastener.tighten_at or TightenAt.FITTED,
        single_use=fastener.single_use,
        locking=", ".join(dict.fromkeys(change.locking for change in changes if change.locking)),
        note=fastener.note,
    )


def to_order(
    workshop: Workshop, car: JobCar, goals: Sequence[Goal], operations: Iterable[Operation], sides: int
) -> ToOrder:
    """The order for a plan's operations done here on the sides done.

    Single-use fasteners less what the kits supply, not below 0.
    """
    kits = kits_for(workshop, car, goals, sides)
    kit_count = {(one.part, one.revision): one.kits for one in kits}
    parts = parts_of(goals)
    fasteners: dict[str, FastenersToOrder] = {}
    consumables: set[str] = set()
    for operation in operations:
        consumables.update(operation.consumables)
        for fastener in operation.fasteners:
            count = fastener.count * operation.times(sides) - _supplied(operation, fastener, parts, kit_count)
            if not fastener.single_use or count <= 0:
                continue
            key = fastener.number or f"{operation.name}/{fastener.code}"
            if key in fasteners:
                count += fasteners[key].count
            fasteners[key] = FastenersToOrder(fastener.number, operation.name, fastener.code, count)
    return ToOrder(kits, tuple(fasteners[key] for key in sorted(fasteners)), tuple(sorted(consumables)))


def kits_for(workshop: Workshop, car: JobCar, goals: Sequence[Goal], sides: int) -> tuple[Kits, ...]:
    """Pieces needed over all places of a part, by pieces per kit, rounded up once, by part."""
    pieces: Counter[tuple[str, str]] = Counter()
    for goal in goals:
        pieces[goal.part.code, goal.part.revision] += workshop.location(car, goal).pieces_of(sides)
    return tuple(
        Kits(part.code, part.revision, count, -(-count // part.kit_pieces))
        for part in sorted(parts_of(goals), key=lambda part: (part.code, part.revision))
        for count in [pieces[part.code, part.revision]]
    )


def _supplied(
    operation: Operation, fastener: Fastener, parts: Sequence[PartWork], kit_count: Mapping[tuple[str, str], int]
) -> int:
    changes = changes_at(parts, operation, fastener)
    return sum(change.supplied * kit_count[part.code, part.revision] for part, change in changes)
