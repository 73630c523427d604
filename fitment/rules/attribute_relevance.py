"""Which attributes matter on their own, and into which intervals the build day falls. Pure."""

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from fitment.rules.attributes import Attribute
from fitment.rules.descriptions import DescriptionRow, Descriptions, Numbers, Pair, Profile, Spelt, differ
from fitment.rules.possible_cars import CarSpace


@dataclass(frozen=True, slots=True)
class DayInterval:
    """Build days from `first` to `last` (the last possible day in it)."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class _Merged:
    """Rows by interval and what is spelt out; `pinned` where that leaves one outcome each."""

    rows: dict[tuple[int, Spelt], set[Pair]]
    pinned: bool


class Relevance:
    """What the descriptions of some cases say about each candidate.

    Several `Descriptions` may stand side by side where, but for one of them, a complete description leaves one
    outcome: then what differs for all together differs for one of them.
    """

    def __init__(self, space: CarSpace, several: Sequence[Descriptions]) -> None:
        self._bits = space.bits
        self._several = several
        self._required = space.required_masks
        self._merged_rows: dict[int, _Merged] = {}

    @cached_property
    def intervals(self) -> tuple[DayInterval, ...]:
        """The answers to `built`: a new one starts where some description has other outcomes than before in it."""
        days = [(stretch.first, stretch.last) for stretch in self._several[0].stretches]
        start = days[0][0]
        found: list[DayInterval] = []
        while True:
            found_days = (self._first_conflict(table, start) for table in self._several)
            conflicts = [day for day in found_days if day is not None]
            until = min(conflicts, default=None)
            found.append(DayInterval(start, max(last for first, last in _clipped(days, start, until))))
            if until is None:
                return tuple(found)
            start = until

    def is_relevant(self, attribute: Attribute, intervals: Sequence[DayInterval]) -> bool:
        """Whether some description has different sets of outcomes under two answers of the attribute.

        `intervals` are the answers of `built` where it is a candidate, else empty: the same at every call.
        """
        return any(self._is_relevant(one, attribute, intervals) for one in self._several)

    def _merged(self, table: Descriptions, intervals: Sequence[DayInterval]) -> "_Merged":
        """The rows by interval instead of by day, each once."""
        if id(table) not in self._merged_rows:
            rows: dict[tuple[int, Spelt], set[Pair]] = {}
            for row in table.rows:
                for at in _places_in(row, intervals):
                    rows.setdefault((at, row.spelt), set()).add(row.pair)
            pinned = all(len({outcomes for _, outcomes in pairs}) == 1 for pairs in rows.values())
            self._merged_rows[id(table)] = _Merged(rows, pinned)
        return self._merged_rows[id(table)]

    def _first_conflict(self, table: Descriptions, start: int) -> int | None:
        """The first day from `start` on which a description has other outcomes than on an earlier one."""
        seen: dict[Spelt, list[frozenset[Pair]]] = {}
        for stretch in table.stretches:
            if stretch.last < start:
                continue
            for spelt, pairs in stretch.pairs.items():
                earlier = seen.setdefault(spelt, [])
                if pairs in earlier:
                    continue
                if any(table.conflict(before, pairs) for before in earlier):
                    return stretch.first
                earlier.append(pairs)
        return None

    def _is_relevant(self, table: Descriptions, attribute: Attribute, intervals: Sequence[DayInterval]) -> bool:
        merged = self._merged(table, intervals)
        bit = self._bits.bit(attribute.option) if attribute.kind == "option" else 0
        block = table.block_of(attribute, bit)
        if block is not None and merged.pinned:
            # What is spelt out decides the outcome alone, so a candidate that is not spelt out changes nothing.
            return False
        groups: dict[Hashable, dict[Hashable, set[Pair]]] = {}
        if block is not None:
            left: Numbers[Profile] = Numbers()
            for (at, spelt), pairs in merged.rows.items():
                for profile, outcome in pairs:
                    for answer, beside, rest in self._unspelt(table.profiles[profile], block, bit):
                        answers = groups.setdefault((at, spelt, beside), {})
                        answers.setdefault(answer, set()).add((left[rest], outcome))
            profiles = list(left)
        else:
            profiles = table.profiles
            for (at, spelt), pairs in merged.rows.items():
                answer, others = self._spelt(table, attribute, bit, at, spelt)
                groups.setdefault(others, {}).setdefault(answer, set()).update(pairs)
        return any(differ(answers, profiles) for answers in groups.values())

    def _spelt(
        self, table: Descriptions, attribute: Attribute, bit: int, at: int, spelt: Spelt
    ) -> tuple[Hashable, Hashable]:
        """The answer of what is spelt out, and what stands beside it."""
        texts, options, components = spelt
        if attribute.kind == "built":
            return at, spelt
        if attribute.kind == "text":
            column = table.texts.index(attribute.name)
            return texts[column], (at, texts[:column] + texts[column + 1 :], options, components)
        if attribute.kind == "option":
            return bool(options & bit), (at, texts, options & ~self._own(bit), components)
        column = table.places.index(attribute.place)
        return components[column], (at, texts, options, components[:column] + components[column + 1 :])

    def _unspelt(self, profile: Profile, block: int, bit: int) -> Iterator[tuple[Hashable, Hashable, Profile]]:
        """Every answer that a profile allows, what it says beside it, and the profile without the entry."""
        left: Profile = profile[:block] + profile[block + 1 :]
        for value in profile[block]:
            if isinstance(value, int):
                yield bool(value & bit), value & ~self._own(bit), left
            else:
                yield value, None, left

    def _own(self, bit: int) -> int:
        """The options that are not described beside one: those of its group where that is required."""
        return next((mask for mask in self._required if mask & bit), bit)


def _places_in(row: DescriptionRow, intervals: Sequence[DayInterval]) -> Iterator[int]:
    """The positions of the intervals that a row has days in; 0 where `built` is no candidate."""
    if not intervals:
        yield 0
    for position, interval in enumerate(intervals):
        until = intervals[position + 1].first if position + 1 < len(intervals) else None
        if row.last >= interval.first and (until is None or row.first < until):
            yield position


def _clipped(days: Sequence[tuple[int, int]], start: int, until: int | None) -> Iterator[tuple[int, int]]:
    for first, last in days:
        if last >= start and (until is None or first < until):
            yield max(first, start), last if until is None else min(last, until - 1)
