"""The possible cars a job is for: those that every revision ordered fits, as far as procedures tell them apart."""

from collections.abc import Iterator, Sequence

from catalog.codes import End, Reason
from catalog.conditions import parse_conditions
from fitment.domain.procedures import JobCar, Workshop
from fitment.errors import TooMuchWork
from fitment.rules.case import Case
from fitment.rules.possible_cars import CarSpace, VariantRegion
from fitment.rules.residual import Residual, residual_of

Residuals = dict[str, Residual | None]


def job_cars(space: CarSpace, cases: Sequence[Case], workshop: Workshop) -> list[JobCar]:
    """The cars, in the order variant, first day, options.

    cases: one per part ordered, of the one revision ordered. Only the procedures of the ends with a case are read.
    Raises TooMuchWork.
    """
    ends = tuple(end for end in End if any(case.place[0] == end for case in cases))
    return [car for region in space for car in _cars(space, region, cases, workshop, ends)]


def with_other_end(space: CarSpace, cases: Sequence[Case], workshop: Workshop, car: JobCar) -> JobCar:
    """The same car with what its other axle lacks too: the first possible one that looks like it.

    Where telling those apart would take too long the car is left as it is.
    """
    region = next(region for region in space if region.variant.code == car.variant)
    try:
        for found in _cars(space, region, cases, workshop, tuple(End)):
            here = frozenset(name for name in found.absent if name.partition("/")[0] in _opened(car, cases))
            if here == car.absent:
                return found
    except TooMuchWork:
        return car
    return car


def _opened(car: JobCar, cases: Sequence[Case]) -> set[str]:
    return {car.axles[case.place[0]] for case in cases if case.place[0] in car.axles}


def _cars(
    space: CarSpace, region: VariantRegion, cases: Sequence[Case], workshop: Workshop, ends: Sequence[str]
) -> Iterator[JobCar]:
    axles: dict[str, str] = {end: code for end in End if (code := region.variant.axle(end)) is not None}
    residuals = _residuals(space, region, workshop, [axles[end] for end in ends if end in axles])
    never = frozenset(name for name, residual in residuals.items() if residual is None)
    some = {name: residual for name, residual in residuals.items() if residual is not None}
    bits, cuts = 0, set[int]()
    for case in cases:
        bits |= case.bits(region)
        cuts |= case.cuts(region)
    for residual in some.values():
        bits |= residual.bits
        cuts.update(residual.cuts())
    seen: set[frozenset[str]] = set()
    for cell in region.cells(bits, cuts):
        day, mask = cell.first, cell.mask
        if not all(_fits(case, region, day, mask) for case in cases):
            continue
        absent = never | {name for name, residual in some.items() if not residual.holds(day, mask)}
        if absent not in seen:
            seen.add(absent)
            yield JobCar(region.variant.code, axles, frozenset(absent), len(seen))


def _fits(case: Case, region: VariantRegion, day: int, mask: int) -> bool:
    """Whether the revision fits one of the components there may be at the place."""
    return any(reasons[0] is Reason.APPROVED for _, reasons, _ in case.at(region, day, mask))


def _residuals(space: CarSpace, region: VariantRegion, workshop: Workshop, axles: Sequence[str]) -> Residuals:
    found: Residuals = {}
    for code in axles:
        axle = workshop.axles.get(code)
        for operation in axle.operations.values() if axle is not None else ():
            if operation.conditions:
                conditions = parse_conditions(operation.conditions)
                found[operation.name] = residual_of(conditions, region.variant, space.bits, {})
    return found
