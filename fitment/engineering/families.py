"""New sizes of one blank: the uncovered components it can serve, and the fewest bodies and spacers for them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from catalog.codes import FeatureState, MatchFeature
from fitment.answers.contract import INLINE, Cars, Named
from fitment.domain.interfaces import ComponentInterface, Demands, RevisionInterface
from fitment.engineering.features import BY_HOLE, BY_SLEEVE, CURABLE
from fitment.engineering.resize import outside_range, serving_hole, sleeve_range
from fitment.engineering.seats import judged_features
from fitment.engineering.sizes import most_reached, pierce
from fitment.engineering.tolerances import Interval


@dataclass(frozen=True)
class Uncovered:
    """A component without a part on some cars: its interface, what its places ask, how many cars wait."""

    component: ComponentInterface
    demands: Demands
    cars: Fraction


@dataclass(frozen=True)
class Body:
    """One outside diameter (middle of its limits, mm) and the components it serves."""

    outside_mm: float
    components: tuple[str, ...]
    cars: Cars


@dataclass(frozen=True)
class Spacer:
    """One sleeve length, with its hole where a bolt is known (middles of limits, mm)."""

    hole_mm: float | None
    sleeve_mm: float
    components: tuple[str, ...]


@dataclass(frozen=True)
class LeftOut:
    """A component that this blank cannot serve, and the feature or dimension that stands in the way."""

    component: str
    why: str


@dataclass(frozen=True)
class SizeSet:
    """Bodies and spacers that belong together, and the cars they reach."""

    cars: Cars
    bodies: tuple[Body, ...]
    spacers: tuple[Spacer, ...]


@dataclass(frozen=True)
class BoundedSizeSet(SizeSet):
    """The set of at most so many bodies that reaches the most cars."""

    bodies_at_most: int


@dataclass(frozen=True)
class Family:
    """The sizes of one part's blank: the fewest for all it can serve, and the best few."""

    part: str
    letter: Annotated[str, Named("revision")]
    every: Annotated[SizeSet, INLINE]
    left_out: tuple[LeftOut, ...]
    at_most: BoundedSizeSet | None


@dataclass(frozen=True)
class _Served:
    uncovered: Uncovered
    outside: Interval
    sleeve: Interval | None
    hole_mm: float | None


def family_of(revision: RevisionInterface, uncovered: Sequence[Uncovered], bodies_at_most: int | None = None) -> Family:
    """The fewest bodies, then the fewest spacers, that one blank needs for the components it can serve.

    Args:
        revision: the blank with its tolerance widths, sizes in mm
        uncovered: components without a part, each once, with the cars that wait
        bodies_at_most: where given, also the sets of at most so many bodies that reach the most cars
    Returns: sizes in mm as middles of limits, cars as given
    Notes: A component is served when everything that machining does not cure is in order, nothing is unknown, and
        outside, sleeve and hole each have a size inside the blank. Spacers are counted hole by hole.
    References: Cormen et al., Introduction to Algorithms, section 16.1, through :mod:`fitment.engineering.sizes`.

    >>> from fitment.domain.interfaces import demands_of
    >>> part = RevisionInterface("P", "A", "released", "pressed", True, True)
    >>> family_of(part, [Uncovered(ComponentInterface("C"), demands_of([]), Fraction(3))]).left_out
    (LeftOut(component='C', why='unmeasured'),)
    """
    served, left_out = [], []
    for one in sorted(uncovered, key=lambda one: one.component.code):
        found = _served(revision, one)
        if isinstance(found, str):
            left_out.append(LeftOut(one.component.code, found))
        else:
            served.append(found)
    intervals = [one.outside for one in served]
    at_most = None
    if bodies_at_most is not None:
        few = most_reached(intervals, [one.uncovered.cars for one in served], bodies_at_most)
        chosen = _size_set(served, few)
        at_most = BoundedSizeSet(chosen.cars, chosen.bodies, chosen.spacers, bodies_at_most)
    return Family(revision.part, revision.letter, _size_set(served, pierce(intervals)), tuple(left_out), at_most)


def _served(revision: RevisionInterface, uncovered: Uncovered) -> _Served | str:
    """The sizes that serve a component, or what stands in the way."""
    component, demands = uncovered.component, uncovered.demands
    features = judged_features(component, revision, demands)
    states = {feature.feature: feature.state for feature in features}
    refusing = (FeatureState.FAILS, FeatureState.REFUSED)
    in_the_way = [feature for feature, state in states.items() if feature not in CURABLE and state in refusing]
    if in_the_way:
        return in_the_way[0]
    if FeatureState.UNMEASURED in states.values():
        return FeatureState.UNMEASURED.value
    outside = outside_range(component, revision, demands)
    if outside is None:
        return "outside"
    sleeve = hole = None
    blank = revision.blank
    # A part without a blank for sleeve or holes keeps the one it has.
    if states.keys() & BY_SLEEVE:
        sleeve = sleeve_range(component, revision) if blank.sleeve else _kept(revision.sleeve, states, BY_SLEEVE)
        if sleeve is None:
            return "sleeve"
    if states.keys() & BY_HOLE:
        kept = _kept(revision.hole, states, BY_HOLE)
        hole = serving_hole(component, revision) if blank.holes_mm else None if kept is None else kept.middle
        if hole is None:
            return "hole"
    return _Served(uncovered, outside, sleeve, hole)


def _kept(
    own: Interval | None, states: Mapping[MatchFeature, FeatureState], judged: Iterable[MatchFeature]
) -> Interval | None:
    """The middle of a revision's own size, where its features are in order as it is."""
    if own is None or not all(states[feature] is FeatureState.OK for feature in judged):
        return None
    return Interval(own.middle, own.middle)


def _size_set(served: Sequence[_Served], sizes: Sequence[float]) -> SizeSet:
    at: dict[float, list[_Served]] = {}
    for one in served:
        size = _serving(one.outside, sizes)
        if size is not None:
            at.setdefault(size, []).append(one)
    bodies = tuple(Body(size, _codes(at[size]), _cars(at[size])) for size in sorted(at))
    reached = [one for size in sorted(at) for one in at[size]]
    return SizeSet(_cars(reached), bodies, _spacers(reached))


def _spacers(served: Sequence[_Served]) -> tuple[Spacer, ...]:
    by_hole: dict[float | None, list[tuple[Interval, _Served]]] = {}
    for one in served:
        if one.sleeve is not None:
            by_hole.setdefault(one.hole_mm, []).append((one.sleeve, one))
    spacers = []
    for hole in sorted(by_hole, key=lambda hole: (hole is not None, hole or 0.0)):
        lengths = pierce([sleeve for sleeve, _ in by_hole[hole]])
        for length in lengths:
            here = [one for sleeve, one in by_hole[hole] if _serving(sleeve, lengths) == length]
            spacers.append(Spacer(hole, length, _codes(here)))
    return tuple(spacers)


def _serving(interval: Interval, sizes: Sequence[float]) -> float | None:
    """The least of several rising sizes that lies in an interval."""
    return next((size for size in sizes if size in interval), None)


def _codes(served: Sequence[_Served]) -> tuple[str, ...]:
    return tuple(sorted(one.uncovered.component.code for one in served))


def _cars(served: Sequence[_Served]) -> Fraction:
    return sum((one.uncovered.cars for one in served), start=Fraction(0))
