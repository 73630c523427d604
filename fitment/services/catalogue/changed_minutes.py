"""Expected minutes of the job of one answer: both sides, with everything a shop has."""

from fitment.domain.facts import Place
from fitment.domain.procedures import Goal
from fitment.job.possible import job_cars
from fitment.job.several_cars import Shown, dearest
from fitment.readers.procedures import PartsReader, read_workshop
from fitment.rules.case import Case
from fitment.rules.changes import ListedAnswer
from fitment.rules.possible_cars import CarSpace

BOTH_SIDES = 2


class Minutes:
    """Plans for the cars of a few axles; cars from which the same steps are absent share a plan."""

    def __init__(self, axles: tuple[str, ...], parts: tuple[str, ...]) -> None:
        self._workshop = read_workshop(axles)
        self._parts = PartsReader(parts, axles)
        self._known: dict[object, float | None] = {}

    def of(self, space: CarSpace, place: Place, standing: ListedAnswer) -> float | None:
        """Minutes without after-work, None where the answer names no revision or there is no plan."""
        if standing.named is None or not self._has_way(space, place):
            return None
        part, letter = standing.part.code, standing.named.letter
        cars = job_cars(space, [Case(space, standing.part, place, (standing.named,))], self._workshop)
        key = (place, part, letter, tuple((tuple(car.axles.items()), car.absent) for car in cars))
        if key not in self._known:
            goal = Goal(self._parts.part(part, letter), *place)
            shown = dearest(self._workshop, cars, [goal], BOTH_SIDES, self._workshop.shop())
            self._known[key] = float(shown.plan.minutes) if isinstance(shown, Shown) else None
        return self._known[key]

    def _has_way(self, space: CarSpace, place: Place) -> bool:
        end, location = place
        for region in space:
            axle = self._workshop.axles.get(region.variant.axle(end) or "")
            if axle is not None and location in axle.places and axle.places[location].ways:
                return True
        return False
