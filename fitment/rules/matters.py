"""Which attributes matter on their own, and into which intervals the build day falls. Pure."""

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from .attributes import Attribute
from .descriptions import Descriptions, Outcomes, Pair, Profile, Row, differ, option_masks
from .possible_cars import Rooms

Spelt = tuple[tuple[str, ...], int, tuple[str | None, ...]]


@dataclass(frozen=True, slots=True)
class Interval:
    """Build days from `first` to `last` (the last possible day in it)."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class _Stretch:
    first: int
    last: int
    pairs: dict[Spelt, frozenset[Pair]]


class Meaning:
    """What the descriptions of some cases say about each candidate.

    Several `Descriptions` may stand side by side, one a case, where every complete description leaves only one
    outcome of each: then what differs for all together differs for one of them.
    """

    def __init__(self, rooms: Rooms, several: Sequence[Descriptions]) -> None:
        self._bits = rooms.bits
        self._several = several
        self._required = {
            mask
            for mask in option_masks(rooms)
            for code, one in rooms.facts.options.items()
            if one.group and one.required and rooms.bits.bit(code) & mask
        }
        self._verdicts: dict[tuple[frozenset[Pair], frozenset[Pair]], bool] = {}

    @cached_property
    def intervals(self) -> tuple[Interval, ...]:
        """The answers to `built`: a new one starts where some description has other outcomes than before in it."""
        timelines = [list(_stretches(one.rows)) for one in self._several]
        days = [(stretch.first, stretch.last) for stretch in timelines[0]]
        start = days[0][0]
        found: list[Interval] = []
        while True:
            conflicts = [day for line in timelines if (day := self._first_conflict(line, start)) is not None]
            until = min(conflicts, default=None)
            found.append(Interval(start, max(last for first, last in _clipped(days, start, until))))
            if until is None:
                return tuple(found)
            start = until

    def matters(self, attribute: Attribute, intervals: Sequence[Interval]) -> bool:
        """Whether some description has different sets of outcomes under two answers of the attribute.

        `intervals` are the answers of `built` where it is a candidate, else empty.
        """
        return any(self._matters(one, attribute, intervals) for one in self._several)

    def _first_conflict(self, line: Sequence[_Stretch], start: int) -> int | None:
        """The first day from `start` on which a description has other outcomes than on an earlier one."""
        seen: dict[Spelt, list[frozenset[Pair]]] = {}
        for stretch in line:
            if stretch.last < start:
                continue
            for spelt, pairs in stretch.pairs.items():
                earlier = seen.setdefault(spelt, [])
                if pairs in earlier:
                    continue
                if any(self._conflict(before, pairs) for before in earlier):
                    return stretch.first
                earlier.append(pairs)
        return None

    def _conflict(self, one: frozenset[Pair], other: frozenset[Pair]) -> bool:
        key = (one, other)
        if key not in self._verdicts:
            self._verdicts[key] = differ({0: one, 1: other})
        return self._verdicts[key]

    def _matters(self, table: Descriptions, attribute: Attribute, intervals: Sequence[Interval]) -> bool:
        groups: dict[Hashable, dict[Hashable, set[Pair]]] = {}
        for row in table.rows:
            for place in _places_in(row, intervals):
                for answer, rest, pair in self._split(table, attribute, row, place):
                    groups.setdefault(rest, {}).setdefault(answer, set()).add(pair)
        return any(differ(answers) for answers in groups.values())

    def _split(
        self, table: Descriptions, attribute: Attribute, row: Row, place: int
    ) -> Iterator[tuple[Hashable, Hashable, Pair]]:
        """The answers a row gives, each with what is spelt out beside it."""
        if attribute.kind == "built":
            yield place, (row.texts, row.options, row.components), (row.profile, row.outcomes)
            return
        if attribute.kind == "text":
            at = table.texts.index(attribute.name)
            texts = row.texts[:at] + row.texts[at + 1 :]
            yield row.texts[at], (place, texts, row.options, row.components), (row.profile, row.outcomes)
            return
        bit = self._bits.bit(attribute.option) if attribute.kind == "option" else 0
        own = next((mask for mask in self._required if mask & bit), bit)
        block = table.block_of(attribute, bit)
        if block is not None:
            profile: Profile = row.profile[:block] + row.profile[block + 1 :]
            for value in row.profile[block]:
                answer, beside = (bool(value & bit), value & ~own) if isinstance(value, int) else (value, 0)
                yield answer, (place, row.texts, row.options, row.components, beside), (profile, row.outcomes)
        elif attribute.kind == "option":
            rest = (place, row.texts, row.options & ~own, row.components)
            yield bool(row.options & bit), rest, (row.profile, row.outcomes)
        else:
            at = table.places.index(attribute.place)
            components = row.components[:at] + row.components[at + 1 :]
            yield row.components[at], (place, row.texts, row.options, components), (row.profile, row.outcomes)


def _places_in(row: Row, intervals: Sequence[Interval]) -> Iterator[int]:
    """The positions of the intervals that a row has days in; 0 where `built` is no candidate."""
    if not intervals:
        yield 0
    for position, interval in enumerate(intervals):
        until = intervals[position + 1].first if position + 1 < len(intervals) else None
        if row.last >= interval.first and (until is None or row.first < until):
            yield position


def _stretches(rows: Sequence[Row]) -> Iterator[_Stretch]:
    """The rows day by day, in stretches on which they are the same."""
    starts = sorted({row.first for row in rows} | {row.last + 1 for row in rows})
    for first, after in pairwise(starts):
        pairs: dict[Spelt, set[Pair]] = {}
        for row in rows:
            if row.first <= first <= row.last:
                spelt = (row.texts, row.options, row.components)
                pairs.setdefault(spelt, set()).add((row.profile, row.outcomes))
        if pairs:
            yield _Stretch(first, after - 1, {spelt: frozenset(several) for spelt, several in pairs.items()})


def _clipped(days: Sequence[tuple[int, int]], start: int, until: int | None) -> Iterator[tuple[int, int]]:
    for first, last in days:
        if last >= start and (until is None or first < until):
            yield max(first, start), last if until is None else min(last, until - 1)


__all__ = ["Interval", "Meaning", "Outcomes"]
