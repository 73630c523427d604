"""What to order before the car comes: kits, single-use fasteners, consumables."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fitment.domain.procedures import Car, Goal, Operation, Workshop
from fitment.job.fasteners import changes_at, parts_of


@dataclass(frozen=True, slots=True)
class Kits:
    part: str
    revision: str
    pieces: int
    kits: int


@dataclass(frozen=True, slots=True)
class FastenersToOrder:
    """Pieces of one number; a fastener without a number stands by its operation and code."""

    number: str
    operation: str
    fastener: str
    count: int


@dataclass(frozen=True, slots=True)
class ToOrder:
    kits: tuple[Kits, ...]
    fasteners: tuple[FastenersToOrder, ...]
    consumables: tuple[str, ...]


def kits(workshop: Workshop, car: Car, goals: Sequence[Goal], sides: int) -> tuple[Kits, ...]:
    """Pieces needed over all places of a part, by pieces per kit, rounded up once, by part."""
    pieces: dict[tuple[str, str], int] = {}
    for goal in goals:
        place = workshop.axles[car.axles[goal.end]].places[goal.location]
        key = (goal.part.code, goal.part.revision)
        pieces[key] = pieces.get(key, 0) + place.pieces_of(sides)
    return tuple(
        Kits(part.code, part.revision, count, -(-count // part.kit_pieces))
        for part in sorted(parts_of(goals), key=lambda p: (p.code, p.revision))
        for count in [pieces[part.code, part.revision]]
    )


def to_order(
    workshop: Workshop, car: Car, goals: Sequence[Goal], operations: Iterable[Operation], sides: int
) -> ToOrder:
    """The order for a plan's operations done here on the sides done.

    Single-use fasteners less what the kits supply, not below nought.
    """
    bags = kits(workshop, car, goals, sides)
    count_of = {(bag.part, bag.revision): bag.kits for bag in bags}
    parts = parts_of(goals)
    rows: dict[str, FastenersToOrder] = {}
    consumables: set[str] = set()
    for operation in operations:
        consumables.update(operation.consumables)
        for fastener in operation.fasteners:
            if not fastener.single_use:
                continue
            supplied = sum(
                change.supplied * count_of[part.code, part.revision]
                for part, change in changes_at(parts, operation, fastener)
            )
            count = fastener.count * operation.times(sides) - supplied
            if count <= 0:
                continue
            name = f"{operation.name}/{fastener.code}"
            before = rows.get(fastener.number or name)
            rows[fastener.number or name] = FastenersToOrder(
                fastener.number, operation.name, fastener.code, count + (before.count if before else 0)
            )
    return ToOrder(bags, tuple(rows[key] for key in sorted(rows)), tuple(sorted(consumables)))
