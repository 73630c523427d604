"""The possible cars a job is for: those that every revision ordered fits, as far as procedures tell them apart."""

from collections.abc import Iterator, Sequence

from catalog.codes import End, Reason
from catalog.conditions import parse_conditions
from fitment.domain.procedures import Car, Workshop
from fitment.errors import TooMuchWork
from fitment.rules.case import Case
from fitment.rules.possible_cars import Room, Rooms
from fitment.rules.reading import Reading, read

Readings = dict[str, Reading | None]


def job_cars(rooms: Rooms, cases: Sequence[Case], workshop: Workshop) -> list[Car]:
    """The cars, in the order variant, first day, options.

    cases: one per part ordered, of the one revision ordered. Only the procedures of the ends with a case are read.
    Raises TooMuchWork.
    """
    ends = tuple(end for end in End if any(case.place[0] == end for case in cases))
    return [car for room in rooms for car in _cars(rooms, room, cases, workshop, ends)]


def with_other_end(rooms: Rooms, cases: Sequence[Case], workshop: Workshop, car: Car) -> Car:
    """The same car with what its other axle lacks too: the first possible one that looks like it.

    Where telling those apart would take too long the car is left as it is.
    """
    room = next(room for room in rooms if room.variant.code == car.variant)
    try:
        for found in _cars(rooms, room, cases, workshop, tuple(End)):
            here = frozenset(name for name in found.absent if name.partition("/")[0] in _opened(car, cases))
            if here == car.absent:
                return found
    except TooMuchWork:
        return car
    return car


def _opened(car: Car, cases: Sequence[Case]) -> set[str]:
    return {car.axles[case.place[0]] for case in cases if case.place[0] in car.axles}


def _cars(rooms: Rooms, room: Room, cases: Sequence[Case], workshop: Workshop, ends: Sequence[str]) -> Iterator[Car]:
    axles: dict[str, str] = {end: code for end in End if (code := room.variant.axle(end)) is not None}
    readings = _readings(rooms, room, workshop, [axles[end] for end in ends if end in axles])
    never = frozenset(name for name, reading in readings.items() if reading is None)
    some = {name: reading for name, reading in readings.items() if reading is not None}
    bits, cuts = 0, set[int]()
    for case in cases:
        bits |= case.bits(room)
        cuts |= case.cuts(room)
    for reading in some.values():
        bits |= reading.bits
        cuts.update(reading.cuts())
    seen: set[frozenset[str]] = set()
    for cell in room.cells(bits, cuts):
        day, mask = cell.first, cell.mask
        if not all(_fits(case, room, day, mask) for case in cases):
            continue
        absent = never | {name for name, reading in some.items() if not reading.holds(day, mask)}
        if absent not in seen:
            seen.add(absent)
            yield Car(room.variant.code, axles, frozenset(absent), len(seen))


def _fits(case: Case, room: Room, day: int, mask: int) -> bool:
    """Whether the revision fits one of the components there may be at the place."""
    return any(reasons[0] is Reason.APPROVED for _, reasons, _ in case.at(room, day, mask))


def _readings(rooms: Rooms, room: Room, workshop: Workshop, axles: Sequence[str]) -> Readings:
    found: Readings = {}
    for code in axles:
        axle = workshop.axles.get(code)
        for operation in axle.operations.values() if axle is not None else ():
            if operation.conditions:
                conditions = parse_conditions(operation.conditions)
                found[operation.name] = read(conditions, room.variant, rooms.bits, {})
    return found
