"""Matches of a component; loads, compliance and articulation of an axle's corner, for one car and its components."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Literal

from catalog.codes import LoadCase, NotModelled
from fitment.answers.contract import INLINE, Named
from fitment.coverage.counting import component_cars
from fitment.coverage.summaries import JointLoad
from fitment.domain.interfaces import AxlePlace, Demands, demands_of
from fitment.engineering.axle_loads import CarFigures, CornerLoads, contact_forces, corner_loads
from fitment.engineering.corner import Corner
from fitment.engineering.errors import SingularCorner
from fitment.engineering.known import KnownSize
from fitment.engineering.matching import InterfaceMatch, match
from fitment.readers.corners import read_car_figures, read_corners, read_stiffer, read_stiffness
from fitment.readers.coverage import axles_facts
from fitment.readers.editions import kept_for_edition
from fitment.readers.interfaces import read_component_sizes, read_demands, read_neighbours, read_revisions

AXLES_KEPT = 64
LOADS_KEPT = 64


@dataclass(frozen=True)
class UnmodelledLoads:
    """An axle without loads, and why."""

    axle: str
    reason: NotModelled
    modelled: Literal[False] = False


@dataclass(frozen=True)
class ModelledLoads:
    """The loads of an axle: forces in N, deflections in mm/kN, angles in degrees."""

    axle: str
    variant: str | None
    components: Mapping[str, str]
    loads: Annotated[CornerLoads, INLINE]
    modelled: Literal[True] = True
    reason: None = None


@dataclass(frozen=True)
class AxleLoads:
    """The corner of an axle; `loads` is None with a `reason`, `corner` where no hardpoints are recorded."""

    axle: str
    variant: str | None
    components: Mapping[str, str]
    loads: CornerLoads | None = None
    reason: NotModelled | None = None
    corner: Corner | None = None

    @property
    def answer(self) -> ModelledLoads | UnmodelledLoads:
        """What leaves: not modelled, nothing below the reason."""
        if self.loads is None:
            return UnmodelledLoads(self.axle, NotModelled(self.reason or NotModelled.NOT_MODELLED))
        return ModelledLoads(self.axle, self.variant, self.components, self.loads)


@dataclass(frozen=True)
class _Known:
    """What does not depend on what is asked of an axle."""

    end: str
    corner: Corner | None
    cars: Mapping[str, CarFigures]
    components: Mapping[str, Mapping[str, Fraction]]


@kept_for_edition(entries=AXLES_KEPT)
def _known(axle: str) -> _Known | None:
    return _read_known([axle]).get(axle)


def _read_known(axles: Collection[str]) -> dict[str, _Known]:
    """What is known of each axle that there is (a constant number of queries)."""
    facts = axles_facts(axles)
    corners, cars, components = read_corners(axles), read_car_figures(axles), component_cars(facts)
    return {
        code: _Known(axle.end, corners.get(code), cars.get(code, {}), components.get(code, {}))
        for code, axle in facts.axles.items()
    }


def axle_end(axle: str) -> str | None:
    """The end of an axle, or None when there is none of that code."""
    known = _known(axle)
    return None if known is None else known.end


def axle_components(axle: str) -> Mapping[str, Mapping[str, Fraction]]:
    """The cars that have each component, by location of an axle."""
    known = _known(axle)
    return {} if known is None else known.components


def axle_loads(
    *, axle: str, variant: str | None = None, components: Mapping[str, str] | None = None
) -> AxleLoads | None:
    """The loads of an axle's corner; None when there is no such axle.

    Without a variant the one with all five figures and the greatest standing wheel load; at each location the
    component most cars have, unless another is named.
    """
    known = _known(axle)
    if known is None:
        return None
    corner = known.corner
    if corner is None:
        return AxleLoads(axle, None, {}, reason=NotModelled.NO_HARDPOINTS)
    if not corner.modelled:
        return AxleLoads(axle, None, {}, reason=NotModelled.NOT_MODELLED, corner=corner)
    fitted = _fitted(corner, known.components, components or {})
    car = _heaviest(known) if variant is None else variant
    if car not in known.cars:
        car = None
    figures = None if car is None else known.cars[car]
    try:
        loads = corner_loads(corner, known.end, figures, read_stiffness(fitted), read_stiffer(fitted))
    except SingularCorner:
        return AxleLoads(axle, None, {}, reason=NotModelled.SINGULAR, corner=corner)
    return AxleLoads(axle, car, fitted, loads, corner=corner)


def _fitted(corner: Corner, cars_of: Mapping[str, Mapping[str, Fraction]], named: Mapping[str, str]) -> dict[str, str]:
    """The component at each location of the links: the one named, else that of most cars."""
    locations = {location for line in corner.lines for location in (line.inner_location, line.outer_location)}
    found = {}
    for location in sorted(locations - {""}):
        cars = cars_of.get(location, {})
        if location in named:
            found[location] = named[location]
        elif cars:
            found[location] = min(cars, key=lambda code: (-cars[code], code))
    return found


def _heaviest(known: _Known) -> str | None:
    """The variant with the greatest standing wheel load, of equal ones the first code."""

    def load(code: str) -> float:
        return contact_forces(known.cars[code], known.end)[LoadCase.STANDING][2]

    return min(known.cars, key=lambda code: (-load(code), code), default=None)


@kept_for_edition(entries=LOADS_KEPT)
def joint_loads(places: tuple[tuple[str, str, str], ...]) -> dict[tuple[str, str, str], JointLoad]:
    """The loads of components, each (axle, location, component), where known (a constant number of queries)."""
    axles = _read_known({axle for axle, _, _ in places})
    corners: dict[tuple[str, str, str], tuple[_Known, Corner, dict[str, str]]] = {}
    for axle, location, component in places:
        known = axles.get(axle)
        if known is not None and known.corner is not None and known.corner.modelled:
            fitted = _fitted(known.corner, known.components, {location: component})
            corners[axle, location, component] = known, known.corner, fitted
    by_component = read_stiffness({code: code for _, _, fitted in corners.values() for code in fitted.values()})
    found = {}
    for place, (known, corner, fitted) in corners.items():
        car = _heaviest(known)
        if car is None:
            continue
        stiffness = {at: by_component[code] for at, code in fitted.items() if code in by_component}
        try:
            loads = corner_loads(corner, known.end, known.cars[car], stiffness)
        except SingularCorner:
            continue
        load = _load_at(loads, place[1])
        if load is not None:
            found[place] = load
    return found


def _load_at(loads: CornerLoads, location: str) -> JointLoad | None:
    share = loads.share_at(location)
    braking = next((case for case in loads.cases if case.case is LoadCase.BRAKING), None)
    if share is None or braking is None:
        return None
    return JointLoad(braking.reactions.force_n(share.joint), share.share)


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
