"""Which original joint sits at a place of a variant, day by day and option by option. Pure."""

from typing import NamedTuple

from fitment.domain.facts import Facts, Place, Variant
from fitment.rules.residual import OptionBits, Piecewise, Residual, reads, residual_of, span

CONFLICT = None

State = tuple[str, ...] | None
"""The components one of which is there: none, the one, or those that alternatives leave; None is a conflict."""


class SiteRow(NamedTuple):
    """A joint row as a variant reads it: its days, what it asks for, its component, and whether it is alternative."""

    first: int
    last: int
    residual: Residual
    component: str
    alternative: bool


class JointSite(Piecewise[State]):
    """A place of a variant whose axle has the location, with its joint rows."""

    def __init__(self, place: Place, axle: str, rows: tuple[SiteRow, ...], variant: Variant, *, in_range: bool) -> None:
        days = [day for row in rows for day in (row.first, row.last + 1)]
        super().__init__(*reads((row.residual for row in rows), variant, days))
        self.place = place
        self.axle = axle
        self.in_range = in_range
        self.rows = rows

    def state(self, day: int, options: int) -> State:
        """The components that the joint rows true on a day, with these options, leave."""
        return self.at(day, options)

    def _worked_out(self, day: int, options: int) -> State:
        there = [row for row in self.rows if row.first <= day <= row.last and row.residual.holds(day, options)]
        found = {row.component for row in there}
        if len(found) > 1 and not all(row.alternative for row in there):
            return CONFLICT
        return tuple(sorted(found))


def joint_site(facts: Facts, bits: OptionBits, variant: Variant, place: Place) -> JointSite | None:
    """The site at a place; None where no axle is recorded or its topology has no such location."""
    end, location = place
    code = variant.axle(end)
    if code is None or location not in facts.axles[code].locations:
        return None
    axle = facts.axles[code]
    rows = tuple(
        SiteRow(*span(joint.window), residual, joint.component, joint.alternative)
        for joint in axle.joints.get(location, ())
        if (residual := residual_of(joint.conditions, variant, bits, {"axle": code, "location": location})) is not None
    )
    return JointSite(place, code, rows, variant, in_range=axle.locations[location])
