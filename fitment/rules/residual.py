"""Conditions as one variant reads them: what is left to ask of its options and its build day. Pure.

Days are proleptic ordinals (date.toordinal), closed on both sides; an open end is NEVER_BEGAN or NEVER_ENDS.
"""

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Generic, TypeVar

from catalog.codes import DayAttribute, YesNo
from catalog.conditions import Conditions
from catalog.windows import Window
from fitment.domain.facts import Variant

NEVER_BEGAN = 0
NEVER_ENDS = 10_000_000

Span = tuple[int, int]
Value = TypeVar("Value")


def span(window: Window) -> Span:
    """A window as ordinals."""
    first = NEVER_BEGAN if window.first is None else window.first.toordinal()
    last = NEVER_ENDS if window.last is None else window.last.toordinal()
    return first, last


def day_of(ordinal: int) -> date | None:
    """The date of an ordinal; None for an open end."""
    return None if ordinal in (NEVER_BEGAN, NEVER_ENDS) else date.fromordinal(ordinal)


class OptionBits:
    """A bit for each option code, so that a set of options is one integer."""

    def __init__(self, codes: Iterable[str]) -> None:
        self.codes = sorted(codes)
        self._bits = {code: 1 << position for position, code in enumerate(self.codes)}

    def bit(self, code: str) -> int:
        return self._bits.get(code, 0)

    def mask(self, codes: Iterable[str]) -> int:
        """The bits of those codes that there are."""
        mask = 0
        for code in codes:
            mask |= self._bits.get(code, 0)
        return mask


@dataclass(frozen=True, slots=True)
class Residual:
    """What must still hold: options that must be there, options that must not, and spans of days.

    Every entry of `days` is (negated, spans): the build day lies in one of the spans, or in none if negated.
    """

    need: int = 0
    ban: int = 0
    days: tuple[tuple[bool, tuple[Span, ...]], ...] = ()

    def holds(self, day: int, options: int) -> bool:
        if options & self.need != self.need or options & self.ban:
            return False
        return all(any(first <= day <= last for first, last in spans) is not negated for negated, spans in self.days)

    @property
    def bits(self) -> int:
        """The options this asks for."""
        return self.need | self.ban

    def cuts(self) -> Iterable[int]:
        """The first days of what may change by the day."""
        for _, spans in self.days:
            for first, last in spans:
                yield first
                yield last + 1


ALWAYS = Residual()


class Piecewise(Generic[Value]):
    """What changes with the build day at `cuts` and with the options of `bits` only, each value worked out once.

    No more are kept than there are stretches between the cuts, times sets of these options.
    """

    def __init__(self, bits: int, cuts: frozenset[int]) -> None:
        self.bits = bits
        self.cuts = cuts
        self._starts = sorted(cuts)
        self._known: dict[tuple[int, int], Value] = {}

    def at(self, day: int, options: int) -> Value:
        key = (bisect_right(self._starts, day), options & self.bits)
        if key not in self._known:
            self._known[key] = self._worked_out(day, options)
        return self._known[key]

    def _worked_out(self, day: int, options: int) -> Value:
        raise NotImplementedError


def reads(residuals: Iterable[Residual], variant: Variant, also: Iterable[int] = ()) -> tuple[int, frozenset[int]]:
    """The options that residuals ask for, and the days in a variant's window on which they, or `also`, may change."""
    bits = 0
    cuts = set(also)
    for residual in residuals:
        bits |= residual.bits
        cuts.update(residual.cuts())
    begin, end = span(Window(variant.built_from, variant.built_to))
    return bits, frozenset(cut for cut in cuts if begin < cut <= end)


def residual_of(
    conditions: Conditions, variant: Variant, bits: OptionBits, place: Mapping[str, str]
) -> Residual | None:
    """What is left of conditions for a variant; None when they cannot hold.

    `place` has the attributes that are not the variant's own: `axle` and `location`.
    """
    if not conditions:
        return ALWAYS
    need = ban = 0
    days: list[tuple[bool, tuple[Span, ...]]] = []
    for clause in conditions.clauses:
        option = clause.option
        if option is not None:
            yes, no = clause.holds(YesNo.YES), clause.holds(YesNo.NO)
            if option in variant.standard:
                no = yes
            elif option not in variant.options:
                yes = no
            if not yes and not no:
                return None
            if not no:
                need |= bits.bit(option)
            elif not yes:
                ban |= bits.bit(option)
        elif clause.attribute == DayAttribute.BUILT:
            days.append((clause.negated, tuple(span(window) for window in clause.windows)))
        elif not clause.holds(place.get(clause.attribute) or variant.value(clause.attribute)):
            return None
    return Residual(need, ban, tuple(days))
