"""What there is to choose from when something is recorded on a car: its joints, what may be tried there."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Model, QuerySet, Sum

from catalog.codes import SOME_FIT, Decision, Role
from catalog.models import Axle, Component, Location, Part, Revision, Variant
from fitment.answers.fit import PlaceAnswer
from fitment.domain.description import Description, Question
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.matching import InterfaceMatch
from fitment.models import FitDecision, Measurement
from fitment.readers.platforms import platform_facts, platform_of
from fitment.rules.places import place_occupants
from fitment.rules.possible_cars import CarSpace
from fitment.services.coverage.engineering import NotThere, component_matches
from fitment.services.fit.answering import answer_question, possible_space

MOST_SUGGESTED = 400  # codes suggested to a field that is typed
_NAMED_BY_CODE: dict[str, type[Model]] = {
    "variant": Variant,
    "part": Part,
    "revision": Revision,
    "axle": Axle,
    "location": Location,
    "component": Component,
}


@dataclass(frozen=True, slots=True)
class CarJoint:
    """A place of a car and the original joints that some complete car of it has there."""

    end: str
    axle: str
    location: str
    in_range: bool
    components: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JointRevisions:
    """Revisions that may be tried at a joint, as (part, letter): those decided on, and all that were matched."""

    decided: tuple[tuple[str, str], ...] = ()
    matches: Sequence[InterfaceMatch] = ()


def cars_left(*, question: Question) -> list[str]:
    """The variants that agree with what is stated of a car. Raises NoPossibleCar."""
    return [region.variant.code for region in possible_space(question)]


def end_of_axle(axle: str) -> str:
    """The end of the car that an axle is at; empty where it is not known."""
    return Axle.objects.filter(code=axle).values_list("end", flat=True).first() or ""


def pieces_measured(component: str) -> dict[str, int]:
    """How many pieces of a component are measured so far, by feature."""
    rows = Measurement.objects.filter(component__code=component).order_by().values("feature")
    return dict(rows.annotate(pieces=Sum("samples")).values_list("feature", "pieces"))


def known_codes(name: str, *, location: str = "", part: str = "") -> list[str]:
    """The codes that a column may have, none where they are too many to choose from.

    `location` narrows components to those that sit there, `part` names the part of revisions.
    """
    rows: QuerySet[Any] = _NAMED_BY_CODE[name]._default_manager.all()
    if location:
        rows = rows.filter(joints__location__code=location)
    if name == "revision":
        rows = rows.filter(part__code=part)
    field = "letter" if name == "revision" else "code"
    found = list(rows.order_by(field).values_list(field, flat=True).distinct()[: MOST_SUGGESTED + 1])
    return found if len(found) <= MOST_SUGGESTED else []


def joints_there(*, variant: str) -> list[CarJoint]:
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
            found.append(CarJoint(end, axle, location, in_range, tuple(sorted(view.components))))
    return sorted(found, key=lambda one: (one.end, not one.in_range, one.location))


def may_be_tried(*, component: str, place: AxlePlace) -> JointRevisions:
    """What is approved or proposed for a component, and every matched revision (unsorted) at a place of it."""
    try:
        found = component_matches(component=component, place=place)
    except NotThere:
        found = component_matches(component=component)
    if found is None:
        return JointRevisions()
    rows = FitDecision.objects.filter(component__code=component).exclude(decision=Decision.REJECTED)
    decided = rows.order_by("revision__part__code", "revision__letter").values_list(
        "revision__part__code", "revision__letter"
    )
    return JointRevisions(tuple(dict.fromkeys(decided)), found.matches)


def may_be_fitted(*, variant: str, viewer: Role) -> list[PlaceAnswer]:
    """The parts that fit a car or may, with their places, front to rear. Raises TooMuchWork."""
    answer = answer_question(question=Question(car=Description(variant=variant)), viewer=viewer, ask=False)
    offered = [one for one in answer.answers if one.end and one.verdict in SOME_FIT]
    return sorted(offered, key=lambda one: (one.end or "", one.location or "", one.part))
