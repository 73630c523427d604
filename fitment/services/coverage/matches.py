"""Every released or prototype revision against the interface of one component."""

from dataclasses import dataclass
from typing import Annotated

from fitment.answers.contract import Named
from fitment.domain.interfaces import AxlePlace, Demands, demands_of
from fitment.engineering.known import KnownSize
from fitment.engineering.matching import InterfaceMatch, match
from fitment.readers.interfaces import read_component_sizes, read_demands, read_neighbours, read_revisions


@dataclass(frozen=True)
class ComponentMatches:
    """What is asked of a component, what is known of its sizes, and how each revision matches them."""

    component: str
    place: AxlePlace | None
    demands: Annotated[Demands, Named("asked")]
    sizes: tuple[KnownSize, ...]
    matches: tuple[InterfaceMatch, ...]


class NotThere(LookupError):
    """The component does not sit at the place asked about; `places` are those where it does."""

    def __init__(self, places: list[AxlePlace]) -> None:
        self.places = places
        super().__init__("The component does not sit there")


def component_matches(*, component: str, place: AxlePlace | None = None) -> ComponentMatches | None:
    """The matches of a component over all its places, or at one of them; None when there is no such component.

    Raises NotThere.
    """
    found = read_component_sizes([component]).get(component)
    if found is None:
        return None
    asked = read_demands([component]).get(component, [])
    if place is not None:
        places = [demand.place for demand in asked]
        if place not in places:
            raise NotThere(places)
        asked = [demand for demand in asked if demand.place == place]
    neighbours = read_neighbours([demand.place for demand in asked])
    demands = demands_of(asked)
    return ComponentMatches(
        component,
        place,
        demands,
        found.known,
        tuple(match(found.component, revision, demands, neighbours) for revision in read_revisions()),
    )
