"""Cars and covered cars of every cell, over all possible cars. Pure."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from fitment.description import Description
from fitment.results import Basis, Reason
from fitment.rules.basis import STRENGTH, Evidence
from fitment.rules.component import Seat
from fitment.rules.facts import ENDS, Facts, Part, Revision
from fitment.rules.outcome import Ruling, ruling
from fitment.rules.possible_cars import Room, Rooms
from fitment.rules.reading import Reading, read

RevisionKey = tuple[str, str]
"""Part and letter."""
PlatformKey = tuple[str, str]
"""Maker and chassis."""


@dataclass(frozen=True, order=True)
class CellKey:
    """An axle, a location in our range and a component that some possible car has there."""

    axle: str
    location: str
    component: str


@dataclass
class Share:
    """Cars and those of them that are covered; whether any is not, also one that weighs nothing."""

    cars: Fraction = Fraction(0)
    covered: Fraction = Fraction(0)
    some_covered: bool = False
    some_uncovered: bool = False

    def add(self, cars: Fraction, *, covered: bool) -> None:
        self.cars += cars
        if covered:
            self.covered += cars
            self.some_covered = True
        else:
            self.some_uncovered = True

    @property
    def uncovered(self) -> Fraction:
        return self.cars - self.covered


@dataclass
class Count:
    """A cell: its cars by platform, what covers them and how well, and what is said against or for others.

    `rejected`, `failing`, `proposed`: revisions that some uncovered car rejects, that a standing failure speaks
    against there, that a decision true there proposes. `waiting`: maker, chassis and code of uncovered variants.
    """

    end: str
    whole: Share = field(default_factory=Share)
    platforms: dict[PlatformKey, Share] = field(default_factory=lambda: defaultdict(Share))
    basis: Basis | None = None
    by: set[RevisionKey] = field(default_factory=set)
    rejected: set[RevisionKey] = field(default_factory=set)
    failing: set[RevisionKey] = field(default_factory=set)
    proposed: set[RevisionKey] = field(default_factory=set)
    waiting: set[tuple[str, str, str]] = field(default_factory=set)


@dataclass
class Counts:
    """All cells, and the cars of each platform, end and location of which no component is known."""

    cells: dict[CellKey, Count] = field(default_factory=dict)
    unknown: dict[tuple[PlatformKey, str, str], Fraction] = field(default_factory=dict)


@dataclass(frozen=True)
class _Seen:
    """What one revision says of the component at one place of a variant."""

    key: RevisionKey
    ruling: Ruling
    evidence: Evidence | None
    proposals: tuple[Reading, ...]


@dataclass(frozen=True)
class _Parted:
    """The revisions of one part there, newest first; visible ones carry their evidence."""

    revisions: tuple[_Seen, ...]

    def covering(self, day: int, mask: int) -> tuple[RevisionKey, Basis] | None:
        for seen in self.revisions:
            if seen.evidence is not None and seen.ruling.reason(day, mask) is Reason.APPROVED:
                return seen.key, seen.evidence.basis(day, mask)
        return None


@dataclass(frozen=True)
class _Said:
    """What all parts say of a component at a place, and which options and days that reads."""

    parts: tuple[_Parted, ...]
    bits: int
    cuts: frozenset[int]


def counted(facts: Facts) -> Counts:
    """Every cell of the axles of these facts."""
    return _Counting(facts).counts


class _Counting:
    """One walk through all possible cars."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.rooms = Rooms(facts, Description())
        self.counts = Counts()
        self._by_component: dict[str, list[Part]] = defaultdict(list)
        self._conditional: set[str] = set()
        self._said: dict[tuple[str, ...], _Said] = {}
        for part in facts.parts.values():
            self._index(part)
        for room in self.rooms:
            for seat in _seats(room, facts):
                self._count(room, seat)

    def _index(self, part: Part) -> None:
        named = set()
        for revision in part.revisions:
            named |= {*revision.decisions, *revision.tests}
            for component, decisions in revision.decisions.items():
                if any(decision.conditions for decision in decisions):
                    self._conditional.add(component)
        for component in named:
            self._by_component[component].append(part)

    def _count(self, room: Room, seat: Seat) -> None:
        said = {component: self._said_of(room, seat, component) for component in {row[3] for row in seat.rows}}
        bits, cuts = seat.bits, set(seat.cuts)
        for one in said.values():
            bits |= one.bits
            cuts |= one.cuts
        end, location = seat.place
        platform = (room.variant.maker, room.variant.chassis)
        for cell in room.cells(bits, cuts):
            cars = room.unit * room.weight(cell)
            state = seat.state(cell.first, cell.mask)
            if not state:
                key = (platform, end, location)
                self.counts.unknown[key] = self.counts.unknown.get(key, Fraction(0)) + cars
                continue
            for component in state:
                cell_key = CellKey(seat.axle, location, component)
                count = self.counts.cells.setdefault(cell_key, Count(end))
                share = cars if len(state) == 1 else cars / len(state)
                _add(count, said[component].parts, room, cell.first, cell.mask, share)

    def _said_of(self, room: Room, seat: Seat, component: str) -> _Said:
        """What is said of a component; alike for cars that evidence does not tell apart, unless on conditions."""
        if component in self._conditional:
            return self._read(room, seat, component)
        variant = room.variant
        key = (seat.axle, seat.place[1], component, variant.drivetrain, variant.steering)
        found = self._said.get(key)
        if found is None:
            found = self._said[key] = self._read(room, seat, component)
        return found

    def _read(self, room: Room, seat: Seat, component: str) -> _Said:
        parts = tuple(
            _parted(self.rooms, room, seat, component, part) for part in self._by_component.get(component, ())
        )
        bits = 0
        cuts: set[int] = set()
        for seen in (seen for part in parts for seen in part.revisions):
            bits |= seen.ruling.bits
            cuts |= seen.ruling.cuts
            if seen.evidence is not None:
                bits |= seen.evidence.bits
                cuts |= seen.evidence.cuts
            for reading in seen.proposals:
                bits |= reading.bits
                cuts.update(reading.cuts())
        return _Said(parts, bits, frozenset(cuts))


def component_cars(facts: Facts, axle: str) -> dict[str, dict[str, Fraction]]:
    """The cars that have each component, by location of one axle."""
    found: dict[str, dict[str, Fraction]] = defaultdict(lambda: defaultdict(Fraction))
    for room in Rooms(facts, Description()):
        for end in ENDS:
            if room.variant.axle(end) != axle:
                continue
            for location in facts.axles[axle].locations:
                seat = room.seat_at[end, location]
                if seat is None:
                    continue
                for cell in room.cells(seat.bits, seat.cuts):
                    state = seat.state(cell.first, cell.mask) or ()
                    for component in state:
                        found[location][component] += room.unit * room.weight(cell) / len(state)
    return {location: dict(cars) for location, cars in found.items()}


def _seats(room: Room, facts: Facts) -> Iterator[Seat]:
    for end in ENDS:
        code = room.variant.axle(end)
        for location, in_range in facts.axles[code].locations.items() if code else ():
            seat = room.seat_at[end, location]
            if in_range and seat is not None:
                yield seat


def _add(count: Count, said: tuple[_Parted, ...], room: Room, day: int, mask: int, cars: Fraction) -> None:
    platform = (room.variant.maker, room.variant.chassis)
    covering = [found for parted in said if (found := parted.covering(day, mask)) is not None]
    for share in (count.whole, count.platforms[platform]):
        share.add(cars, covered=bool(covering))
    if covering:
        strongest = min((basis for _, basis in covering), key=STRENGTH.__getitem__)
        known = (strongest, *([count.basis] if count.basis else ()))
        count.basis = max(known, key=STRENGTH.__getitem__)
        count.by.update(key for key, _ in covering)
        return
    count.waiting.add((*platform, room.variant.code))
    for seen in (seen for parted in said for seen in parted.revisions):
        if seen.ruling.holding(day, mask, Reason.REJECTED):
            count.rejected.add(seen.key)
        if seen.ruling.failing(day, mask):
            count.failing.add(seen.key)
        if any(reading.holds(day, mask) for reading in seen.proposals):
            count.proposed.add(seen.key)


def _parted(rooms: Rooms, room: Room, seat: Seat, component: str, part: Part) -> _Parted:
    _, location = seat.place
    return _Parted(
        tuple(
            _Seen(
                (part.code, revision.letter),
                ruling(revision, component, seat.axle, location, room.variant, rooms.bits),
                _evidence(rooms, room, seat, component, part, revision),
                _proposals(rooms, room, seat, component, revision),
            )
            for revision in part.newest_first()
            if revision.visible or revision.status == "prototype"
        )
    )


def _evidence(rooms: Rooms, room: Room, seat: Seat, component: str, part: Part, revision: Revision) -> Evidence | None:
    if not revision.visible:
        return None
    location = seat.place[1]
    return Evidence(rooms.facts, part, revision, component, seat.axle, location, room.variant, rooms.bits)


def _proposals(rooms: Rooms, room: Room, seat: Seat, component: str, revision: Revision) -> tuple[Reading, ...]:
    """Readings of what speaks for a revision short of covering: proposals, and of a prototype approvals too."""
    for_it = ("proposed",) if revision.visible else ("proposed", "approved")
    place = {"axle": seat.axle, "location": seat.place[1]}
    readings = (
        read(decision.conditions, room.variant, rooms.bits, place)
        for decision in revision.decisions.get(component, ())
        if decision.decision in for_it
    )
    return tuple(reading for reading in readings if reading is not None)
