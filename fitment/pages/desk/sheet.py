"""What the desk knows once a car is stated: answers, the next question, the basket and its job."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from catalog.codes import Role
from catalog.nearest import unknown
from catalog.selectors.cars import VariantRow, layouts_of_variants, variants_by_code
from catalog.selectors.parts import PartLine, part_lines
from fitment.answers.fit import Answer, NextQuestion, PlaceAnswer
from fitment.domain.description import Question
from fitment.errors import BadParameters
from fitment.pages.car.stating import Chip
from fitment.pages.desk.answers import Joint, joints_of, keys_by_place
from fitment.pages.desk.basket import Basket, ExtraView, Unmet, basket_of, extras_of, unmet_rules, waiting_items
from fitment.pages.desk.state import PATH, Desk
from fitment.pages.job.figures import job_address
from fitment.pages.job.sheet import job_context
from fitment.pages.job.units import METRIC, UNITS
from fitment.pages.shared.addresses import address, with_value
from fitment.query.job_parameters import JobRequest, PartAsked, parse_job
from fitment.query.parameters import parse_question
from fitment.readers.names import names
from fitment.services.fit.answering import answer_question
from fitment.text.fit import question_text
from fitment.text.names import Names, car_heading

MOST_KEYS = 9


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for, checked."""

    question: Question
    request: JobRequest | None
    units: str


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """An answer to the next question: its key, the cars it leaves and the answers still undecided then."""

    href: str
    label: str
    hint: str
    key: str
    cars: int | None
    undecided: int | None


@dataclass(frozen=True, slots=True)
class QuestionView:
    text: str
    choices: tuple[ChoiceView, ...]
    dont_know: str
    undecided: int | None
    expected: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that was answered; `answers` are also those on parts of the basket that are not listed.

    `job`: the context of the job's page, None where there is no job. `unserved`: the places in our range where
    nothing fits, with what they are called.
    """

    subject: str
    answer: Answer
    answers: tuple[PlaceAnswer, ...]
    asked_parts: tuple[PartAsked, ...]
    variants: list[VariantRow]
    joints: tuple[Joint, ...]
    basket: Basket
    parts: dict[str, PartLine]
    job: dict[str, Any] | None
    question: QuestionView | None
    extras: tuple[ExtraView, ...]
    unmet: tuple[Unmet, ...]
    unserved: tuple[tuple[str, str], ...]

    @property
    def settled(self) -> bool:
        return self.answer.platforms == 1


def read_desk(desk: Desk, viewer: Role) -> Asked:
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
    units = desk.query.get("units", [METRIC])
    if len(units) > 1 or units[0] not in UNITS:
        errors.append(("units", unknown("units", units[0], UNITS)))
    if errors:
        raise BadParameters(errors)
    return Asked(question, request, units[0])


def sheet_of(desk: Desk, asked: Asked, viewer: Role) -> Sheet:
    """Raises NoPossibleCar and TooMuchWork."""
    called = names()
    answer = answer_question(question=asked.question, viewer=viewer)
    variants = variants_by_code(codes=answer.car.variants)
    wanted = asked.request.parts if asked.request else ()
    answers = (*answer.answers, *_not_listed(answer, asked, viewer))
    parts = part_lines(codes={one.part for one in answers} | {one.part for one in wanted})
    joints = joints_of(answer, parts, called, desk, wanted) if answer.platforms == 1 else ()
    lines = keys_by_place(joints)
    if asked.request is None:
        basket = Basket(())
    elif answer.platforms > 1:
        basket = Basket(waiting_items(desk, wanted, parts))
    else:
        basket = basket_of(
            desk, asked.request, answers, parts=parts, lines=lines, called=called, viewer=viewer
        )  # fmt: skip
    job = None
    if basket.drawn is not None and basket.request is not None:
        job = job_context(basket.drawn, basket.request, desk.query, asked.units)
        job["href"] = job_address(basket.request) + ("&units=imperial" if asked.units != METRIC else "")
    return Sheet(
        subject=car_heading(asked.question.car, variants, called.makers),
        answer=answer,
        answers=answers,
        asked_parts=tuple(wanted),
        variants=variants,
        joints=joints,
        basket=basket,
        parts=parts,
        job=job,
        question=_question(answer.question, desk),
        extras=extras_of(basket.drawn, desk, parts, lines, called) if basket.drawn is not None else (),
        unmet=unmet_rules(basket.drawn, desk, lines) if basket.drawn is not None else (),
        unserved=_unserved(answer, joints, called) if answer.platforms == 1 else (),
    )


def _unserved(answer: Answer, joints: Sequence[Joint], called: Names) -> tuple[tuple[str, str], ...]:
    served = {(joint.end, joint.location) for joint in joints if not joint.nothing_fits}
    layouts = layouts_of_variants(codes=answer.car.variants)
    places = {(row.end, row.code) for row in layouts if row.in_range}
    places |= {(joint.end, joint.location) for joint in joints if joint.nothing_fits}
    return tuple((f"{end}.{code}", called.place(end, code)) for end, code in sorted(places - served))


def chips_of(desk: Desk, called: Names) -> tuple[Chip, ...]:
    """What is stated, each with the address without it."""
    found = []
    for name, values in desk.car.items():
        for value in values:
            kept = [other for other in values if other != value]
            query = {**desk.query, name: kept} if kept else {k: v for k, v in desk.query.items() if k != name}
            label, said = (called.parameter(value), "not known") if name == "skip" else (
                called.parameter(name), called.value(name, value)
            )  # fmt: skip
            found.append(Chip(name, label, said, address(PATH, query)))
    return tuple(found)


def _not_listed(answer: Answer, asked: Asked, viewer: Role) -> Sequence[PlaceAnswer]:
    """Answers on parts of the basket that are not listed for the car."""
    if asked.request is None or answer.platforms > 1:
        return ()
    listed = {one.part for one in answer.answers}
    missing = tuple(dict.fromkeys(one.part for one in asked.request.parts if one.part not in listed))
    if not missing:
        return ()
    question = Question(car=asked.question.car, parts=missing)
    return answer_question(question=question, viewer=viewer, ask=False).answers


def _question(question: NextQuestion | None, desk: Desk) -> QuestionView | None:
    if question is None:
        return None
    expected = question.expected_undecided
    return QuestionView(
        text=question_text(question),
        choices=tuple(
            ChoiceView(
                address(PATH, desk.query, adding=choice.query),
                choice.label or choice.value,
                choice.hint.rstrip("."),
                str(position) if position <= MOST_KEYS else "",
                choice.cars,
                choice.undecided,
            )
            for position, choice in enumerate(question.choices, start=1)
        ),
        dont_know=address(PATH, with_value(desk.query, "skip", question.attribute)),
        undecided=question.undecided,
        expected="" if expected is None else f"{float(expected):.1f}",
    )
