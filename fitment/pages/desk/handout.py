"""The answer that leaves the desk: as text to copy and as a sheet to print, of what the public may know."""

from collections.abc import Iterable
from typing import Any

from django.http import HttpRequest

from catalog.codes import Verdict
from fitment.answers.fit import PlaceAnswer, RuleNote
from fitment.errors import BadParameters
from fitment.pages.desk.answers import answers_of
from fitment.pages.desk.basket import BEST_FIRST
from fitment.pages.desk.handout_text import AnswerText, PartText, plain_text
from fitment.pages.desk.sheet import Sheet
from fitment.pages.desk.state import Desk
from fitment.pages.job.figures import hours
from fitment.pages.shared.addresses import address
from fitment.readers.names import names
from fitment.readers.vocabulary import vocabulary
from fitment.text.fit import basis_words, batch_words, paper_words, reason_text, rule_words, verdict_words

NOT_PUBLIC = "The basket holds a part or revision that is not for sale: take it out before you answer a customer."


def not_for_customers(fault: BadParameters) -> str:
    """Why an address that staff may ask for is none that a customer may have."""
    return NOT_PUBLIC if all(name == "part" for name, _ in fault.errors) else str(fault)


def answer_text(sheet: Sheet, desk: Desk, request: HttpRequest) -> str:
    """The answer of a sheet that names nothing but what is for sale."""
    job = sheet.job
    return plain_text(
        AnswerText(
            subject=sheet.subject,
            cars=_cars(sheet),
            parts=[_part(answer, sheet) for answer in told(sheet)],
            question=open_question(sheet),
            job=list(_job(job)) if job else (),
            orders=[(count, what, number) for what, number, count in job["orders"]] if job else (),
            rules=public_rules(sheet),
            source=f"Catalogue {sheet.answer.catalogue.id}, edition {sheet.answer.catalogue.edition}.",
            links=[request.build_absolute_uri(address("/car/", _public(desk)))],
        )
    )


def told(sheet: Sheet) -> list[PlaceAnswer]:
    """The answers on the basket, in its order; without a basket those that fit or may fit."""
    if sheet.asked_parts:
        found: list[PlaceAnswer] = []
        for one in sheet.asked_parts:
            best = sorted(answers_of(one, sheet.answers), key=lambda each: BEST_FIRST.index(each.verdict))
            found += [each for each in best if each.revision is not None] or best[:1]
        return list(dict.fromkeys(found))
    return [one for one in sheet.answers if one.revision is not None]


def open_question(sheet: Sheet) -> str:
    """The next question, where something that is told depends on it or nothing can be told yet."""
    if sheet.question is None:
        return ""
    wanted = not sheet.settled or any(one.verdict is Verdict.DEPENDS for one in told(sheet))
    return sheet.question.text if wanted else ""


def answer_rows(sheet: Sheet) -> list[dict[str, Any]]:
    """The lines of the printed answer."""
    return [
        {
            "code": one.part,
            "revision": one.revision or "",
            "title": _title(one, sheet),
            "place": _place(one),
            "verdict": one.verdict.value,
            "word": verdict_words(one.verdict, one.undecided_by),
            "notes": list(_notes(one)),
        }
        for one in told(sheet)
    ]


def public_rules(sheet: Sheet) -> list[str]:
    """What the parts of the job ask, without rules about parts that are not for sale."""
    if sheet.basket.drawn is None:
        return []
    known = vocabulary().public_parts
    return [
        f"{rule.part}: {rule_words(RuleNote(rule.rule, rule.other, rule.note))}"
        for rule in sheet.basket.drawn.job.rules
        if rule.other is None or rule.other in known
    ]


def _public(desk: Desk) -> dict[str, list[str]]:
    """The car's address with the parts of the basket, without how the job is done."""
    query = dict(desk.car)
    parts = list(dict.fromkeys(value.partition(":")[0].partition("@")[0] for value in desk.parts))
    return {**query, "part": parts} if parts else query


def _cars(sheet: Sheet) -> str:
    count = len(sheet.answer.car.variants)
    if not sheet.settled:
        return f"{count} cars of several chassis agree with this."
    return "One car agrees with this." if count == 1 else f"{count} cars agree with this."


def _part(one: PlaceAnswer, sheet: Sheet) -> PartText:
    word = verdict_words(one.verdict, one.undecided_by)
    return PartText(one.part, one.revision or "", _title(one, sheet), _place(one), word, list(_notes(one)))


def _title(one: PlaceAnswer, sheet: Sheet) -> str:
    return sheet.parts[one.part].title if one.part in sheet.parts else ""


def _place(one: PlaceAnswer) -> str:
    if one.end is None or one.location is None:
        return ""
    return names().place(one.end, one.location)


def _notes(one: PlaceAnswer) -> Iterable[str]:
    """How well it is known, or why not; batches on hold; papers by market."""
    if one.basis is not None:
        yield basis_words(one.basis)
    else:
        yield from (reason_text(reason) for reason in one.reasons)
    for hold in one.holds:
        yield f"On hold: {batch_words(hold.batch_from, hold.batch_to)}. Look for: {hold.look_for}"
    for paper in one.papers:
        yield f"Papers, {paper.market}: {paper_words(paper)}"


def _job(job: dict[str, Any]) -> Iterable[str]:
    plan = job["plan"]
    some = f"{plan.observations} recorded job{'s' if plan.observations != 1 else ''}"
    known = f"an estimate on {some}" if plan.observations else "an estimate; no job is recorded yet"
    yield (
        f"Fitting takes about {hours(plan.hours)} h ({known}; four jobs of five are done within "
        f"{hours(plan.hours_p80)} h), grade {job['grade_words']}."
    )
    if plan.after:
        after = ", ".join(one.title.lower() for one in plan.after)
        yield f"Afterwards {job['after_minutes']} min: {after}."
    if job["saved"]:
        yield f"Done together it takes {job['saved']} min less than one job for each part."
