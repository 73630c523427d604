"""What the possible cars have at their places, what is unknown there, and which parts are answered where. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from catalog.codes import End, InUnknown
from fitment.answers.fit import UnknownAxle, UnknownLocation
from fitment.domain.description import Question
from fitment.domain.facts import Facts, Part, Place
from fitment.rules.outcome import decided_components
from fitment.rules.possible_cars import CarSpace, VariantRegion


@dataclass(slots=True)
class PlaceOccupants:
    """What sits at a place over all possible cars: the components some car has there.

    `choice`: alternatives leave more than one for one variant, day and option set. `lacking`: some car has the
    location in our range and no component, or a conflict, there; `everywhere`: every car.
    """

    components: set[str] = field(default_factory=set)
    choice: bool = False
    lacking: bool = False
    everywhere: bool = True


def place_occupants(space: CarSpace) -> dict[Place, PlaceOccupants]:
    """Every place that some possible car has."""
    facts = space.facts
    occupants: dict[Place, PlaceOccupants] = {}
    for region in space:
        for end in End:
            axle = region.variant.axle(end)
            for location in facts.axles[axle].locations if axle else ():
                occupants.setdefault((end, location), PlaceOccupants())
    for place, view in occupants.items():
        for region in space:
            _look(region, place, view)
    return occupants


def _look(region: VariantRegion, place: Place, view: PlaceOccupants) -> None:
    site = region.sites[place]
    if site is None:
        view.everywhere = False
        return
    lacking_here = with_one = False
    for cell in region.cells(site.bits, site.cuts):
        state = region.state(place, cell.first, cell.mask)
        if state:
            with_one = True
            view.components.update(state)
            view.choice = view.choice or len(state) > 1
        else:
            lacking_here = True
    view.lacking = view.lacking or (lacking_here and site.in_range)
    view.everywhere = view.everywhere and lacking_here and not with_one and site.in_range


def unknown_locations(occupants: Mapping[Place, PlaceOccupants], question: Question) -> tuple[UnknownLocation, ...]:
    """The locations in our range without a component, as far as the question goes."""
    return tuple(
        UnknownLocation(*place, InUnknown.ALL if there.everywhere else InUnknown.SOME)
        for place, there in sorted(occupants.items())
        if there.lacking and question.asks_about(*place)
    )


def unknown_axles(space: CarSpace, question: Question) -> tuple[UnknownAxle, ...]:
    """The ends without a recorded axle; where the question restricts locations, those ends at which one exists."""
    found: list[UnknownAxle] = []
    ends = space.facts.location_ends
    for end in End:
        asked = not question.locations or any(end in ends.get(location, ()) for location in question.locations)
        without = sum(region.variant.axle(end) is None for region in space)
        if without and asked and (not question.ends or end in question.ends):
            found.append(UnknownAxle(end, InUnknown.ALL if without == len(space) else InUnknown.SOME))
    return tuple(found)


def listed(
    space: CarSpace, question: Question, occupants: Mapping[Place, PlaceOccupants], *, staff: bool
) -> list[tuple[Part, Place | None]]:
    """The parts and places to answer; a part asked for that sits nowhere has the place None.

    Unasked, a part is listed where a visible revision is approved or rejected for a component that some possible
    car has there. Asked for by name it is answered wherever the catalogue places such a component (for staff: one
    that any revision has any decision on).
    """
    found: list[tuple[Part, Place | None]] = []
    for part in space.facts.parts.values():
        if not _is_wanted(part, question):
            continue
        places: Iterable[Place]
        if question.parts:
            places = named_places(space.facts, part, staff=staff)
            if not places:
                found.append((part, None))
        else:
            components = space.derivations.decided_components(part)
            places = [place for place, there in occupants.items() if not components.isdisjoint(there.components)]
        found.extend((part, place) for place in sorted(places) if question.asks_about(*place))
    return found


def named_places(facts: Facts, part: Part, *, staff: bool) -> set[Place]:
    """Every place of the catalogue at which a part asked for by name is answered."""
    every = {component for revision in part.revisions for component in revision.decisions}
    components = every if staff else decided_components(part)
    return {place for component in components for place in facts.placements.get(component, ())}


def _is_wanted(part: Part, question: Question) -> bool:
    return (
        (not question.parts or part.code in question.parts)
        and (not question.duties or part.duty in question.duties)
        and (not question.technologies or part.technology in question.technologies)
    )
