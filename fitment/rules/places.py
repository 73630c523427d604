"""What the possible cars have at their places: components, choices, locations and axles that are unknown. Pure."""

from collections.abc import Collection
from dataclasses import dataclass, field

from catalog.codes import End, InUnknown
from fitment.answers.fit import UnknownAxle, UnknownLocation
from fitment.domain.facts import Facts, Place
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


def unknown_locations(
    occupants: dict[Place, PlaceOccupants], ends: Collection[str], locations: Collection[str]
) -> tuple[UnknownLocation, ...]:
    """The locations in our range without a component, as far as `ends` and `locations` (empty: all) go."""
    return tuple(
        UnknownLocation(end, location, InUnknown.ALL if view.everywhere else InUnknown.SOME)
        for (end, location), view in sorted(occupants.items())
        if view.lacking and (not ends or end in ends) and (not locations or location in locations)
    )


def unknown_axles(
    space: CarSpace, facts: Facts, ends: Collection[str], locations: Collection[str]
) -> tuple[UnknownAxle, ...]:
    """The ends without a recorded axle; of `locations` those ends at which one of them exists."""
    found: list[UnknownAxle] = []
    for end in End:
        if ends and end not in ends:
            continue
        if locations and not any(end in facts.location_ends.get(location, ()) for location in locations):
            continue
        without = sum(region.variant.axle(end) is None for region in space)
        if without:
            found.append(UnknownAxle(end, InUnknown.ALL if without == len(space) else InUnknown.SOME))
    return tuple(found)
