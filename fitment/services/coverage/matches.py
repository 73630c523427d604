"""Every released or prototype revision against the interface of one component."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated, Literal

from catalog.codes import Measurable
from fitment.answers.contract import As, Named
from fitment.domain.interfaces import AxlePlace, Demands, demands_of
from fitment.engineering.known import KnownSize
from fitment.engineering.matching import InterfaceMatch, match
from fitment.readers.interfaces import read_component_sizes, read_demands, read_neighbours, read_revisions


@dataclass(frozen=True)
class StatedLimits:
    """A size by its stated limits, in mm."""

    feature: Measurable
    low_mm: float
    high_mm: float
    source: Literal["stated"] = "stated"


@dataclass(frozen=True)
class MeasuredLimits:
    """A size by its tolerance interval, in mm, with what that was computed from; null where it takes more samples."""

    feature: Measurable
    low_mm: float | None
    high_mm: float | None
    mean_mm: float
    samples: int
    spread_mm: float | None
    pooled: bool
    degrees_of_freedom: int
    factor: float | None
    uncertainty_mm: float
    source: Literal["measured"] = "measured"


def _written(sizes: Iterable[KnownSize]) -> list[StatedLimits | MeasuredLimits]:
    return [_limits(size) for size in sizes]


def _limits(size: KnownSize) -> StatedLimits | MeasuredLimits:
    low, high = (size.interval.low, size.interval.high) if size.interval is not None else (None, None)
    sample, measured = size.sample, size.measured
    if sample is None:
        assert low is not None and high is not None  # noqa: S101, PT018 - a stated size has its limits
        return StatedLimits(size.feature, low, high)
    return MeasuredLimits(
        feature=size.feature,
        low_mm=low,
        high_mm=high,
        mean_mm=sample.mean_mm,
        samples=sample.pieces,
        spread_mm=sample.spread_mm if measured is None else measured.spread_mm,
        pooled=measured is not None and measured.pooled,
        degrees_of_freedom=sample.degrees_of_freedom if measured is None else measured.degrees_of_freedom,
        factor=None if measured is None else measured.factor,
        uncertainty_mm=sample.uncertainty_mm,
    )


@dataclass(frozen=True)
class ComponentMatches:
    """What is asked of a component, what is known of its sizes, and how each revision matches them."""

    component: str
    place: AxlePlace | None
    demands: Annotated[Demands, Named("asked")]
    sizes: Annotated[tuple[KnownSize, ...], As(_written, tuple[StatedLimits | MeasuredLimits, ...])]
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
