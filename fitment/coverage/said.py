"""What all parts say of an original joint at a place of a variant. Pure."""

from collections import defaultdict
from dataclasses import dataclass

from catalog.codes import Basis, Reason
from fitment.domain.facts import Part, Revision
from fitment.rules.basis import Evidence
from fitment.rules.component import Seat
from fitment.rules.outcome import Ruling, ruling
from fitment.rules.possible_cars import Room, Rooms
from fitment.rules.reading import Reading, read

RevisionKey = tuple[str, str]
"""Part and letter."""


@dataclass(frozen=True)
class Seen:
    """What one revision says of the component at one place of a variant; visible ones carry their evidence."""

    key: RevisionKey
    ruling: Ruling
    evidence: Evidence | None
    proposals: tuple[Reading, ...]

    def rejects(self, day: int, mask: int) -> bool:
        return bool(self.ruling.holding(day, mask, Reason.REJECTED))

    def fails(self, day: int, mask: int) -> bool:
        return self.ruling.failing(day, mask)

    def proposes(self, day: int, mask: int) -> bool:
        return any(reading.holds(day, mask) for reading in self.proposals)


@dataclass(frozen=True)
class Parted:
    """The revisions of one part there, newest first."""

    revisions: tuple[Seen, ...]

    def covering(self, day: int, mask: int) -> tuple[RevisionKey, Basis] | None:
        """The newest visible revision that fits, and how well that is known."""
        for seen in self.revisions:
            if seen.evidence is not None and seen.ruling.reason(day, mask) is Reason.APPROVED:
                return seen.key, seen.evidence.basis(day, mask)
        return None


@dataclass(frozen=True)
class Said:
    """What all parts say, and which options and days that reads."""

    parts: tuple[Parted, ...]
    bits: int
    cuts: frozenset[int]

    @property
    def revisions(self) -> list[Seen]:
        return [seen for parted in self.parts for seen in parted.revisions]

    def covering(self, day: int, mask: int) -> list[tuple[RevisionKey, Basis]]:
        """The revisions that cover one possible car, one a part."""
        return [found for parted in self.parts if (found := parted.covering(day, mask)) is not None]


class Sayings:
    """What is said at every place of the rooms, each distinct thing worked out once."""

    def __init__(self, rooms: Rooms) -> None:
        self._rooms = rooms
        self._by_component: dict[str, list[Part]] = defaultdict(list)
        self._conditional: set[str] = set()
        self._said: dict[tuple[str, ...], Said] = {}
        for part in rooms.facts.parts.values():
            self._index(part)

    def _index(self, part: Part) -> None:
        named = set()
        for revision in part.revisions:
            named |= {*revision.decisions, *revision.tests}
            for component, decisions in revision.decisions.items():
                if any(decision.conditions for decision in decisions):
                    self._conditional.add(component)
        for component in named:
            self._by_component[component].append(part)

    def at(self, room: Room, seat: Seat, component: str) -> Said:
        """What is said of a component; alike for cars that evidence does not tell apart, unless on conditions."""
        if component in self._conditional:
            return self._read(room, seat, component)
        variant = room.variant
        key = (seat.axle, seat.place[1], component, variant.drivetrain, variant.steering)
        found = self._said.get(key)
        if found is None:
            found = self._said[key] = self._read(room, seat, component)
        return found

    def candidates(self, component: str) -> list[tuple[Part, Revision]]:
        """The visible revisions and prototypes that anything is said of on a component, newest first a part."""
        return [(part, one) for part in self._by_component.get(component, ()) for one in _candidates(part)]

    def _read(self, room: Room, seat: Seat, component: str) -> Said:
        parts = tuple(
            _parted(self._rooms, room, seat, component, part) for part in self._by_component.get(component, ())
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
        return Said(parts, bits, frozenset(cuts))


def _candidates(part: Part) -> list[Revision]:
    return [revision for revision in part.newest_first() if revision.visible or revision.status == "prototype"]


def _parted(rooms: Rooms, room: Room, seat: Seat, component: str, part: Part) -> Parted:
    _, location = seat.place
    return Parted(
        tuple(
            Seen(
                (part.code, revision.letter),
                ruling(revision, component, seat.axle, location, room.variant, rooms.bits),
                _evidence(rooms, room, seat, component, part, revision),
                _proposals(rooms, room, seat, component, revision),
            )
            for revision in _candidates(part)
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
