"""What there is to choose from when something is recorded on a car: its joints, what may be tried there."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import SOME_FIT, Decision, Role
from fitment.answers.fit import PlaceAnswer
from fitment.domain.description import Description, Question
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.matching import InterfaceMatch
from fitment.models import FitDecision
from fitment.readers.platforms import platform_facts, platform_of
from fitment.rules.places import place_occupants
from fitment.rules.possible_cars import CarSpace
from fitment.services.coverage.matches import NotThere, component_matches
from fitment.services.fit.answering import answer_question, possible_space


@dataclass(frozen=True, slots=True)
class JointThere:
    """A place of a car and the original joints that some complete car of it has there."""

    end: str
    axle: str
    location: str
    in_range: bool
    components: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Tried:
    """Revisions that may be tried at a joint, as (part, letter): those decided on, and all that were matched."""

    decided: tuple[tuple[str, str], ...] = ()
    matches: Sequence[InterfaceMatch] = ()


def cars_left(*, question: Question) -> list[str]:
    """The variants that agree with what is stated of a car. Raises NoPossibleCar."""
    return [region.variant.code for region in possible_space(question)]


def joints_there(*, variant: str) -> list[JointThere]:
    """The joints of a variant, front to rear, those in our range first; places outside it only with a joint.

    Raises TooMuchWork.
    """
    platform = platform_of(variant)
    if platform is None:
        return []
    facts = platform_facts(*platform)
    (car,) = (one for one in facts.variants if one.code == variant)
    found = []
    for (end, location), view in place_occupants(CarSpace(facts, Description(variant=variant))).items():
        axle = car.axle(end)
        in_range = axle is not None and facts.axles[axle].locations[location]
        if axle is not None and (in_range or view.components):
            found.append(JointThere(end, axle, location, in_range, tuple(sorted(view.components))))
    return sorted(found, key=lambda one: (one.end, not one.in_range, one.location))


def may_be_tried(*, component: str, place: AxlePlace) -> Tried:
    """What is approved or proposed for a component, and every matched revision (unsorted) at a place of it."""
    try:
        found = component_matches(component=component, place=place)
    except NotThere:
        found = component_matches(component=component)
    if found is None:
        return Tried()
    rows = FitDecision.objects.filter(component__code=component).exclude(decision=Decision.REJECTED)
    decided = rows.order_by("revision__part__code", "revision__letter").values_list(
        "revision__part__code", "revision__letter"
    )
    return Tried(tuple(dict.fromkeys(decided)), found.matches)


def may_be_fitted(*, variant: str, viewer: Role) -> list[PlaceAnswer]:
    """The parts that fit a car or may, with their places, front to rear. Raises TooMuchWork."""
    answer = answer_question(question=Question(car=Description(variant=variant)), viewer=viewer, ask=False)
    offered = [one for one in answer.answers if one.end and one.verdict in SOME_FIT]
    return sorted(offered, key=lambda one: (one.end or "", one.location or "", one.part))
