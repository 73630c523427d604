"""Which original joint sits at a place of a variant, day by day and option by option. Pure."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field

from catalog.windows import Window
from fitment.domain.facts import Facts, Place, Variant
from fitment.rules.residual import OptionBits, Residual, residual_of, span

NO_COMPONENT: tuple[str, ...] = ()
CONFLICT = None

State = tuple[str, ...] | None
"""The components one of which is there: none, the one, or those that alternatives leave; None is a conflict."""


@dataclass(frozen=True, slots=True)
class JointSite:
    """A place of a variant whose axle has the location; `rows` are its joint rows as the variant reads them."""

    place: Place
    axle: str
    in_range: bool
    rows: tuple[tuple[int, int, Residual, str, bool], ...]
    bits: int
    cuts: frozenset[int] = frozenset()
    starts: tuple[int, ...] = ()
    known: dict[tuple[int, int], State] = field(default_factory=dict, repr=False, compare=False)

    def state(self, day: int, options: int) -> State:
        """The components that the joint rows true on a day, with these options, leave."""
        key = (bisect_right(self.starts, day), options & self.bits)
        if key not in self.known:
            self.known[key] = self._state(day, options)
        return self.known[key]

    def _state(self, day: int, options: int) -> State:
        found: set[str] = set()
        alternative = True
        for first, last, residual, component, marked in self.rows:
            if first <= day <= last and residual.holds(day, options):
                found.add(component)
                alternative = alternative and marked
        if len(found) > 1 and not alternative:
            return CONFLICT
        return tuple(sorted(found))


def joint_site(facts: Facts, bits: OptionBits, variant: Variant, place: Place) -> JointSite | None:
    """The site at a place; None where no axle is recorded or its topology has no such location."""
    key = ("site", variant.code, place)
    if key not in facts.worked_out:
        facts.worked_out[key] = _seat(facts, bits, variant, place)
    found: JointSite | None = facts.worked_out[key]
    return found


def _seat(facts: Facts, bits: OptionBits, variant: Variant, place: Place) -> JointSite | None:
    end, location = place
    code = variant.axle(end)
    if code is None or location not in facts.axles[code].locations:
        return None
    rows: list[tuple[int, int, Residual, str, bool]] = []
    asked = 0
    cuts: set[int] = set()
    for joint in facts.axles[code].joints.get(location, ()):
        residual = residual_of(joint.conditions, variant, bits, {"axle": code, "location": location})
        if residual is None:
            continue
        first, last = span(joint.window)
        rows.append((first, last, residual, joint.component, joint.alternative))
        asked |= residual.bits
        cuts.update((first, last + 1), residual.cuts())
    inside = inner_cuts(cuts, variant)
    return JointSite(
        place, code, facts.axles[code].locations[location], tuple(rows), asked, inside, tuple(sorted(inside))
    )


def inner_cuts(cuts: Iterable[int], variant: Variant) -> frozenset[int]:
    """Those of the days that lie in a variant's window behind its first day."""
    begin, end = span(Window(variant.built_from, variant.built_to))
    return frozenset(cut for cut in cuts if begin < cut <= end)
