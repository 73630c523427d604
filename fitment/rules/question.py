"""The next question: the attribute that leaves the fewest `depends` on average, with exact weights. Pure."""

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations, pairwise

from .attributes import BUILT, PLATFORM_ORDER, TEXTS, VARIANT, Attribute, text, with_two_answers
from .case import Case
from .descriptions import Descriptions
from .facts import Place
from .matters import Interval, Meaning
from .places import PlaceView
from .possible_cars import Group, Room, Rooms
from .verdict import Tally, fit_bits

Answer = Hashable
"""A value of an attribute; None for no component; the position of an interval for `built`."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question: its answers in order (None, no component, is not among them), and what it leaves on average."""

    attribute: Attribute
    answers: tuple[Answer, ...]
    expected: Fraction
    intervals: tuple[Interval, ...] = ()


class Asker:
    """What to ask so that the cases, all of them `depends`, are settled."""

    def __init__(
        self, rooms: Rooms, cases: Sequence[Case], views: dict[Place, PlaceView], skipped: Collection[str] = ()
    ) -> None:
        self._rooms = rooms
        self._cases = cases
        self._views = views
        self._skipped = skipped
        self._others = with_two_answers(rooms, views, skipped)
        self._tallies: dict[tuple[str, int], tuple[int, int]] = {}

    @cached_property
    def _meaning(self) -> Meaning:
        if len(self._cases) > 1 and self._one_outcome_each():
            tables = [Descriptions(self._rooms, [case], self._others) for case in self._cases]
        else:
            tables = [Descriptions(self._rooms, self._cases, self._others)]
        return Meaning(self._rooms, tables)

    def _one_outcome_each(self) -> bool:
        """Whether a complete description and a day leave one car: nothing skipped, no two variants alike."""
        if self._skipped:
            return False
        alike: dict[tuple[str, ...], list[Room]] = {}
        for room in self._rooms:
            alike.setdefault(tuple(getattr(room.variant, name) for name in TEXTS), []).append(room)
        return not any(
            one.first <= other.last and other.first <= one.last
            for rooms in alike.values()
            for one, other in combinations(rooms, 2)
        )

    @cached_property
    def intervals(self) -> tuple[Interval, ...]:
        """The answers of `built` where it is a candidate, else empty."""
        if BUILT.name in self._skipped:
            return ()
        found = self._meaning.intervals
        return found if len(found) > 1 else ()

    @cached_property
    def candidates(self) -> list[Attribute]:
        found = [*self._others, BUILT] if self.intervals else self._others
        return sorted(found, key=lambda one: one.order)

    def matters(self, attribute: Attribute) -> bool:
        return self._meaning.matters(attribute, self.intervals)

    def that_matter(self) -> list[Attribute]:
        """The candidates that matter on their own."""
        return [one for one in self.candidates if self.matters(one)]

    def next(self) -> Asked | None:
        """The question to ask, or None."""
        left = {one: self._asked(one) for one in self.candidates}
        least = min((asked.expected for asked in left.values()), default=None)
        tied = [one for one in self.candidates if left[one].expected == least]
        if len(tied) == 1 and least is not None and least < len(self._cases):
            return left[tied[0]]
        for one in tied:
            if self.matters(one):
                return left[one]
        if least is not None and least < len(self._cases):
            return left[tied[0]]
        if len(self._rooms) > 1 and VARIANT.name not in self._skipped:
            return self._asked(VARIANT)
        if self.candidates and not self._skipped:
            return left[self.candidates[0]]
        return None

    def _asked(self, attribute: Attribute) -> Asked:
        weights: dict[Answer, Fraction] = {}
        tallies: dict[Answer, list[Tally]] = {}
        for room in self._rooms:
            for answer, weight in self._weights(room, attribute).items():
                weights[answer] = weights.get(answer, Fraction(0)) + weight * room.unit
                tallies.setdefault(answer, [Tally() for _ in self._cases])
            for position, case in enumerate(self._cases):
                for answer, (some, every) in self._fits(room, case, attribute).items():
                    tallies[answer][position].add(some, every)
        depends = {answer: sum(tally.depends for tally in several) for answer, several in tallies.items()}
        whole = sum(weights.values())
        if not whole:
            weights, whole = dict.fromkeys(weights, Fraction(1)), Fraction(len(weights))
        expected = sum((weights[answer] * depends[answer] for answer in weights), Fraction(0)) / whole
        offered = sorted((answer for answer in weights if answer is not None), key=_answer_order)
        return Asked(attribute, tuple(offered), expected, self.intervals if attribute == BUILT else ())

    # What one room adds: the weight of each answer in units of the room, and which revisions fit under it.

    def _weights(self, room: Room, attribute: Attribute) -> Mapping[Answer, Fraction | int]:
        if attribute.kind in ("text", "variant"):
            return {_own(room, attribute): sum(map(room.weight, room.bare))}
        found: dict[Answer, Fraction | int] = {}
        if attribute.kind == "built":
            cuts = [interval.first for interval in self.intervals]
            for cell in room.cells(0, cuts):
                at = self._interval_of(cell.first)
                found[at] = found.get(at, 0) + room.weight(cell)
        elif attribute.kind == "option":
            bit = self._rooms.bits.bit(attribute.option)
            for cell in room.cells(bit):
                found[bool(cell.mask & bit)] = found.get(bool(cell.mask & bit), 0) + room.weight(cell)
        else:
            seat = room.seat_at[attribute.place]
            for cell in room.cells(seat.bits, seat.cuts) if seat else room.bare:
                state = room.state(attribute.place, cell.first, cell.mask) or (None,)
                for answer in state:
                    weight = room.weight(cell)
                    found[answer] = found.get(answer, 0) + (
                        weight if len(state) == 1 else weight * Fraction(1, len(state))
                    )
        return found

    def _fits(self, room: Room, case: Case, attribute: Attribute) -> Mapping[Answer, tuple[int, int]]:
        if attribute.kind in ("text", "variant"):
            return {_own(room, attribute): self._whole(room, case)}
        if attribute.kind == "option":
            bit = self._rooms.bits.bit(attribute.option)
            group = next((group for group in room.groups if group.bits & bit), None)
            if group is None:
                return {bool(room.fixed & bit): self._whole(room, case)}
            if not group.bits & (case.bits(room) | room.stated_bits):
                return {bool(value & bit): self._whole(room, case) for value in group.values}
        elif attribute.kind == "component":
            answers = self._apart(room, case, attribute.place)
            if answers is not None:
                return {answer: self._whole(room, case) for answer in answers}
        return _added_up(self._pieces(room, case, attribute))

    def _whole(self, room: Room, case: Case) -> tuple[int, int]:
        key = (room.variant.code, self._cases.index(case))
        if key not in self._tallies:
            self._tallies[key] = _added_up((None, fit_bits(row.reasons)) for row in case.rows(room))[None]
        return self._tallies[key]

    def _apart(self, room: Room, case: Case, place: Place) -> set[Answer] | None:
        """The answers at another place, where neither day nor option ties them to the case; else None."""
        seat = room.seat_at[place]
        if seat is None:
            return {None}
        if case.place == place:
            return None
        bits, cuts = case.bits(room) | room.stated_bits, case.cuts(room) | room.stated_cuts
        if (seat.cuts and cuts) or _closed(room.groups, seat.bits) & _closed(room.groups, bits):
            return None
        cells = room.cells(seat.bits, seat.cuts)
        return {answer for cell in cells for answer in room.state(place, cell.first, cell.mask) or (None,)}

    def _pieces(self, room: Room, case: Case, attribute: Attribute) -> Iterator[tuple[Answer, int]]:
        """Every answer in a room with the revisions that fit there, the two read together."""
        if attribute.kind == "built":
            starts = [interval.first for interval in self.intervals]
            for row in case.rows(room, 0, starts):
                yield self._interval_of(row.cell.first), fit_bits(row.reasons)
        elif attribute.kind == "option":
            bit = self._rooms.bits.bit(attribute.option)
            for row in case.rows(room, bit):
                yield bool(row.cell.mask & bit), fit_bits(row.reasons)
        elif attribute.place == case.place:
            for row in case.rows(room):
                yield row.component, fit_bits(row.reasons)
        else:
            seat = room.seat_at[attribute.place]
            bits, cuts = (seat.bits, seat.cuts) if seat else (0, frozenset())
            for row in case.rows(room, bits, cuts):
                for answer in room.state(attribute.place, row.cell.first, row.cell.mask) or (None,):
                    yield answer, fit_bits(row.reasons)

    def _interval_of(self, day: int) -> int:
        return max(at for at, interval in enumerate(self.intervals) if interval.first <= day)


def platform_question(rooms: Rooms, skipped: Collection[str]) -> Asked | None:
    """What tells several platforms apart: the first of the order that has two answers among the variants left."""
    for name in PLATFORM_ORDER:
        if name in skipped:
            continue
        if name == BUILT.name:
            intervals = _days_of_variants(rooms)
            if len(intervals) > 1:
                return Asked(BUILT, tuple(range(len(intervals))), Fraction(0), intervals)
        else:
            values = sorted({getattr(room.variant, name) for room in rooms})
            if len(values) > 1:
                return Asked(text(name), tuple(values), Fraction(0))
    return None


def _days_of_variants(rooms: Rooms) -> tuple[Interval, ...]:
    """The possible days, split where the set of variants changes."""
    spans = [(cell.first, cell.last, room.variant.code) for room in rooms for cell in room.bare]
    starts = sorted({first for first, _, _ in spans} | {last + 1 for _, last, _ in spans})
    found: list[tuple[Interval, set[str]]] = []
    for first, after in pairwise(starts):
        there = {code for begin, end, code in spans if begin <= first <= end}
        if not there:
            continue
        if found and found[-1][1] == there:
            found[-1] = (Interval(found[-1][0].first, after - 1), there)
        else:
            found.append((Interval(first, after - 1), there))
    return tuple(interval for interval, _ in found)


def _own(room: Room, attribute: Attribute) -> str:
    value: str = room.variant.code if attribute.kind == "variant" else getattr(room.variant, attribute.name)
    return value


def _closed(groups: Sequence[Group], bits: int) -> int:
    """The options of the groups that hold one of these."""
    return sum(group.bits for group in groups if group.bits & bits)


def _added_up(pieces: Iterator[tuple[Answer, int]]) -> dict[Answer, tuple[int, int]]:
    found: dict[Answer, tuple[int, int]] = {}
    for answer, bits in pieces:
        some, every = found.get(answer, (0, -1))
        found[answer] = some | bits, every & bits
    return found


def _answer_order(answer: Answer) -> tuple[bool, int, str]:
    """Yes before no, intervals by time, texts by letter."""
    if isinstance(answer, bool):
        return False, not answer, ""
    return (False, answer, "") if isinstance(answer, int) else (True, 0, str(answer))
