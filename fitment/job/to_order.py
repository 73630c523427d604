"""What to order before the car comes: kits, single-use fasteners, consumables."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from fitment.answers.job import FastenersToOrder, Kits, ToOrder
from fitment.domain.procedures import Fastener, Goal, JobCar, Operation, PartWork, Workshop
from fitment.job.fasteners import changes_at, parts_of


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
