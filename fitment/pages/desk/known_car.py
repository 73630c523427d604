"""What the desk knows once a car is stated: answers, the next question, the basket and its job."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from catalog.codes import Role, Units
from catalog.nearest import unknown
from catalog.selectors.cars import VariantRow, layouts_of_variants, variants_by_code
from catalog.selectors.parts import part_lines
from fitment.answers.fit import Answer, PlaceAnswer
from fitment.domain.description import Question
from fitment.errors import BadParameters
from fitment.pages.desk.answers import DeskJoint, joints_of, keys_by_place
from fitment.pages.desk.basket import Basket, BasketExtra, UnmetRule, basket_of, extras_of, unmet_rules, waiting_items
from fitment.pages.desk.state import PATH, DeskState
from fitment.pages.job.context import job_context
from fitment.pages.job.lines import job_address
from fitment.pages.shared.questions import QuestionView, question_view
from fitment.query.job_parameters import JobRequest, PartAsked, parse_job
from fitment.query.parameters import parse_question
from fitment.readers.vocabulary import names
from fitment.services.fit.answering import answer_question
from fitment.text.names import Names, car_heading

MOST_KEYS = 9


@dataclass(frozen=True, slots=True)
class DeskQuestion:
    """What the address asks for, checked."""

    question: Question
    request: JobRequest | None
    units: str


@dataclass(frozen=True, slots=True)
class KnownCar:
    """All that was answered; `answers` are also those on parts of the basket that are not listed.

    `job`: the context of the job's page, None where there is no job. `unserved`: the places in our range where
    nothing fits, with what they are called; `titles`: of parts.
    """

    subject: str
    answer: Answer
    answers: tuple[PlaceAnswer, ...]
    asked_parts: tuple[PartAsked, ...]
    variants: list[VariantRow]
    joints: tuple[DeskJoint, ...]
    basket: Basket
    titles: Mapping[str, str]
    question: QuestionView | None
    unserved: tuple[tuple[str, str], ...]
    job: dict[str, Any] | None = None
    extras: tuple[BasketExtra, ...] = ()
    unmet: tuple[UnmetRule, ...] = ()

    @property
    def settled(self) -> bool:
        return self.answer.platforms == 1


def read_desk(desk: DeskState, viewer: Role) -> DeskQuestion:
    """The question, the job and the units of an address. Raises BadParameters with everything that is wrong."""
    errors: list[tuple[str, str]] = []
    question, request = Question(), None
    try:
        question = parse_question(desk.car, viewer)
    except BadParameters as fault:
        errors += fault.errors
    if desk.parts:
        try:
            request = parse_job(desk.job, viewer)
        except BadParameters as fault:
            errors += [error for error in fault.errors if error not in errors]
    units = desk.query.get("units", [Units.METRIC])
    if len(units) > 1 or units[0] not in Units.values:
        errors.append(("units", unknown("units", units[0], Units.values)))
    if errors:
        raise BadParameters(errors)
    return DeskQuestion(question, request, units[0])


def known_car(desk: DeskState, asked: DeskQuestion, viewer: Role) -> KnownCar:
    """Raises NoPossibleCar and TooMuchWork."""
    called = names()
    answer = answer_question(question=asked.question, viewer=viewer)
    settled = answer.platforms == 1
    variants = variants_by_code(codes=answer.car.variants)
    wanted = asked.request.parts if asked.request else ()
    answers = (*answer.answers, *_not_listed(answer, asked, viewer))
    parts = part_lines(codes={one.part for one in answers} | {one.part for one in wanted})
    titles = {code: line.title for code, line in parts.items()}
    joints = joints_of(answer, parts, called, desk, wanted) if settled else ()
    lines = keys_by_place(joints)
    if asked.request is None or not settled:
        basket = Basket(waiting_items(desk, wanted, titles))
    else:
        basket = basket_of(desk, asked.request, answers, titles, lines, viewer)
    known = KnownCar(
        subject=car_heading(asked.question.car, variants, called.makers),
        answer=answer,
        answers=answers,
        asked_parts=tuple(wanted),
        variants=variants,
        joints=joints,
        basket=basket,
        titles=titles,
        question=question_view(answer.question, desk.query, PATH, keys=MOST_KEYS),
        unserved=_unserved(answer, joints, called) if settled else (),
    )
    if basket.drawn is None or basket.request is None:
        return known
    job = job_context(basket.drawn, basket.request, desk.query, asked.units)
    job["href"] = job_address(basket.request) + ("&units=imperial" if asked.units != Units.METRIC else "")
    extras, unmet = extras_of(basket.drawn, job, desk, lines), unmet_rules(basket.drawn, job, lines)
    return replace(known, job=job, extras=tuple(extras), unmet=tuple(unmet))


def _unserved(answer: Answer, joints: Sequence[DeskJoint], called: Names) -> tuple[tuple[str, str], ...]:
    served = {(joint.end, joint.location) for joint in joints if not joint.nothing_fits}
    layouts = layouts_of_variants(codes=answer.car.variants)
    places = {(row.end, row.code) for row in layouts if row.in_range}
    places |= {(joint.end, joint.location) for joint in joints if joint.nothing_fits}
    return tuple((f"{end}.{code}", called.place(end, code)) for end, code in sorted(places - served))


def _not_listed(answer: Answer, asked: DeskQuestion, viewer: Role) -> Sequence[PlaceAnswer]:
    """Answers on parts of the basket that are not listed for the car."""
    if asked.request is None or answer.platforms > 1:
        return ()
    listed = {one.part for one in answer.answers}
    missing = tuple(dict.fromkeys(one.part for one in asked.request.parts if one.part not in listed))
    if not missing:
        return ()
    question = Question(car=asked.question.car, parts=missing)
    return answer_question(question=question, viewer=viewer, ask=False).answers
