"""The answer that leaves the desk: as text to copy and as a sheet to print, of what the public may know."""

from typing import Any

from django.http import HttpRequest

from catalog.codes import Verdict
from fitment.answers.fit import PlaceAnswer, RuleNote
from fitment.errors import BadParameters
from fitment.pages.desk.answers import answers_of
from fitment.pages.desk.known_car import KnownCar
from fitment.pages.desk.state import DeskState
from fitment.pages.shared.addresses import address
from fitment.readers.vocabulary import names, vocabulary
from fitment.text.fit import rule_words, verdict_words
from fitment.text.handout import Handout, HandoutPart, answer_notes, cars_agree, job_sentences, plain_text

NOT_PUBLIC = "The basket holds a part or revision that is not for sale: take it out before you answer a customer."


def not_for_customers(fault: BadParameters) -> str:
    """Why an address that staff may ask for is none that a customer may have."""
    return NOT_PUBLIC if all(name == "part" for name, _ in fault.errors) else str(fault)


def answer_text(known: KnownCar, desk: DeskState, request: HttpRequest) -> str:
    """The answer on a car that names nothing but what is for sale."""
    job = known.job
    return plain_text(
        Handout(
            subject=known.subject,
            cars=cars_agree(len(known.answer.car.variants), settled=known.settled),
            parts=handout_parts(known),
            question=open_question(known),
            job=_job_sentences(job) if job else (),
            orders=[(count, what, number) for what, number, count in job["orders"]] if job else (),
            rules=public_rules(known),
            source=f"Catalogue {known.answer.catalogue.id}, edition {known.answer.catalogue.edition}.",
            links=[request.build_absolute_uri(address("/car/", _public(desk)))],
        )
    )


def told(known: KnownCar) -> list[PlaceAnswer]:
    """The answers on the basket, in its order; without a basket those that fit or may fit."""
    if known.asked_parts:
        found: list[PlaceAnswer] = []
        for one in known.asked_parts:
            best = sorted(answers_of(one, known.answers), key=lambda each: each.verdict.rank)
            found += [each for each in best if each.revision is not None] or best[:1]
        return list(dict.fromkeys(found))
    return [one for one in known.answers if one.revision is not None]


def open_question(known: KnownCar) -> str:
    """The next question, where something that is told depends on it or nothing can be told yet."""
    if known.question is None:
        return ""
    wanted = not known.settled or any(one.verdict is Verdict.DEPENDS for one in told(known))
    return known.question.text if wanted else ""


def handout_parts(known: KnownCar) -> list[HandoutPart]:
    """What is told, a line a part."""
    called = names()
    return [
        HandoutPart(
            one.part,
            one.revision or "",
            known.titles.get(one.part, ""),
            called.place(one.end, one.location),
            one.verdict,
            verdict_words(one.verdict, one.undecided_by),
            list(answer_notes(one)),
        )
        for one in told(known)
    ]


def public_rules(known: KnownCar) -> list[str]:
    """What the parts of the job ask, without rules about parts that are not for sale."""
    if known.basket.drawn is None:
        return []
    public = vocabulary().public_parts
    return [
        f"{rule.part}: {rule_words(RuleNote(rule.rule, rule.other, rule.note))}"
        for rule in known.basket.drawn.job.rules
        if rule.other is None or rule.other in public
    ]


def _public(desk: DeskState) -> dict[str, list[str]]:
    """The car's address with the parts of the basket, without how the job is done."""
    query = dict(desk.car)
    parts = list(dict.fromkeys(value.partition(":")[0].partition("@")[0] for value in desk.parts))
    return {**query, "part": parts} if parts else query


def _job_sentences(job: dict[str, Any]) -> list[str]:
    return list(
        job_sentences(
            job["plan"],
            hours=job["hours"],
            hours_p80=job["hours_p80"],
            grade=job["grade_words"],
            after_minutes=job["after_minutes"],
            saved=job["saved"],
        )
    )
