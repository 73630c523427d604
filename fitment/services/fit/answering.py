"""Answers a question: the facts of the car, the rules over them, and what the viewer may see of it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from catalog.codes import Decision, Role
from fitment.answers.fit import Answer, Car, CatalogueRef, HoldNote, Orientation, PlaceAnswer, Remark, RuleNote
from fitment.domain.description import Description, Question
from fitment.domain.facts import Facts, Part, Revision
from fitment.errors import NoPossibleCar
from fitment.readers.editions import at_edition, kept_for_edition
from fitment.readers.labels import next_question
from fitment.readers.platforms import (
    all_cars_facts,
    cars_facts,
    derivations_of,
    part_facts,
    platform_facts,
    platform_of,
)
from fitment.readers.vocabulary import vocabulary
from fitment.rules.answer import PartAnswer, answer
from fitment.rules.contradiction import fewest_contradicting
from fitment.rules.possible_cars import CarSpace

# API, pages and the cars of a fleet ask the same question again and again, each in its own way.
ANSWERS_KEPT = 1_000


@kept_for_edition(entries=ANSWERS_KEPT, reads=False)
def answer_question(*, question: Question, viewer: Role, ask: bool = True) -> Answer:
    """The answer for one car, as far as it is known.

    Without `ask` no next question is worked out. Raises NoPossibleCar with the fewest stated facts that no car
    meets together, and TooMuchWork.
    """
    with at_edition() as current:
        space = possible_space(question)
        answered = answer(space, question, staff=viewer.is_staff, ask=ask)
        return Answer(
            catalogue=CatalogueRef(current.code, current.edition),
            car=car_of(space, viewer),
            question=next_question(answered, staff=viewer.is_staff) if answered.asked else None,
            answers=tuple(_place_answer(space, one, viewer) for one in answered.answers),
            unknown_locations=answered.unknown_locations,
            unknown_axles=answered.unknown_axles,
            platforms=answered.platforms,
        )


def possible_space(question: Question) -> CarSpace:
    """The possible cars of a question, with all the facts that answer it.

    Raises NoPossibleCar.
    """
    space = _space(question)
    if not len(space):
        raise NoPossibleCar(fewest_contradicting(all_cars_facts(question.car), question.car))
    return space


def _space(question: Question) -> CarSpace:
    """The cars of the one platform that the car is of, with its facts; without parts where several are left."""
    platform = _platform(question.car)
    if platform is None:
        space = CarSpace(cars_facts(question.car), question.car)
        left = {(region.variant.maker, region.variant.chassis) for region in space}
        if len(left) != 1:
            return space
        (platform,) = left
    facts = platform_facts(*platform)
    derivations = derivations_of(facts)
    if question.parts:
        parts, placements = part_facts(question.parts)
        facts = replace(facts, parts=parts, placements=placements)
    return CarSpace(facts, question.car, derivations)


def car_of(space: CarSpace, viewer: Role) -> Car:
    """The car as the answer repeats it; how many are in operation is for staff."""
    variants = [region.variant for region in space]
    return Car(
        stated=space.description.stated(),
        variants=tuple(variant.code for variant in variants),
        in_operation=sum(variant.in_operation for variant in variants) if viewer.is_staff else None,
    )


def _platform(car: Description) -> tuple[str, str] | None:
    if car.variant is not None:
        return platform_of(car.variant)
    if car.maker is not None and car.chassis is not None:
        return car.maker, car.chassis
    return None


def _place_answer(space: CarSpace, one: PartAnswer, viewer: Role) -> PlaceAnswer:
    end, location = one.place or (None, None)
    orientation, turned = _orientation(one)
    return PlaceAnswer(
        end=end,
        location=location,
        part=one.part.code,
        verdict=one.verdict,
        revision=one.named.letter if one.named else None,
        basis=one.basis,
        carried_from=one.carried_from,
        reasons=tuple(sorted(one.reasons)),
        undecided_by=one.undecided_by,
        other_revisions=tuple(revision.letter for revision in one.others),
        remarks=(*_remarks(one), *turned, *_newer_joints(space, one)),
        orientation=orientation,
        papers=one.part.papers,
        rules=_rules(one.part, viewer),
        holds=_batch_holds(one.named, viewer),
        internal=one.internal,
    )


def _remarks(one: PartAnswer) -> Iterable[Remark]:
    """What engineers said with the decisions, each once, the latest first."""
    texts = dict.fromkeys(decision.remark for decision in one.decisions if decision.remark)
    return (Remark("remark", text) for text in texts)


def _orientation(one: PartAnswer) -> tuple[Orientation | None, Sequence[Remark]]:
    """How the part is turned; where it depends on the car a remark says so instead."""
    turns = {
        (decision.orientation_deg, decision.orientation_from): None
        for decision in one.decisions
        if decision.decision == Decision.APPROVED
    }
    if len(turns) == 1:
        ((degrees, mark),) = turns
        return (Orientation(degrees, mark), ()) if degrees else (None, ())
    words = [f"{degrees} degrees from {mark or 'the mark'}" for degrees, mark in turns if degrees]
    if not words:
        return None, ()
    return None, [Remark("orientation", f"How it is turned depends on the car: {', or '.join(words)}.")]


def _newer_joints(space: CarSpace, one: PartAnswer) -> Iterable[Remark]:
    """The newer joints that a replaced arm may carry, with what tells them apart."""
    for component in one.components:
        for newer in space.facts.newer.get(component, ()):
            yield Remark("newer_joint", _told_apart(space.facts, component, newer), component, newer)


def _told_apart(facts: Facts, *components: str) -> str:
    texts = {
        joint.tell_apart: None
        for axle in facts.axles.values()
        for joints in axle.joints.values()
        for joint in joints
        if joint.component in components and joint.tell_apart
    }
    return "; ".join(sorted(texts))


def _rules(part: Part, viewer: Role) -> tuple[RuleNote, ...]:
    if viewer.is_staff or not part.rules:
        return part.rules
    known = vocabulary().public_parts
    return tuple(rule for rule in part.rules if rule.other is None or rule.other in known)


def _batch_holds(revision: Revision | None, viewer: Role) -> tuple[HoldNote, ...]:
    """Open holds on batches of the revision named; the cause is for staff."""
    if revision is None:
        return ()
    return revision.holds if viewer.is_staff else tuple(hold.without_cause() for hold in revision.holds)
