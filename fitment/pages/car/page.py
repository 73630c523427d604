"""The car's page: what is stated, the next question, the axles drawn, the answers by joint."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.codes import Role, Verdict
from catalog.roles import role_of
from catalog.selectors.cars import VariantRow, layouts_of_variants, variants_by_code
from catalog.selectors.parts import part_lines
from fitment.answers.fit import Answer
from fitment.domain.description import Question
from fitment.errors import BadParameters, NoPossibleCar, Refusal
from fitment.pages.car.answers import answers_by_place
from fitment.pages.car.places import axles_of
from fitment.pages.car.stating import stating_of
from fitment.pages.record.subject import record_address
from fitment.pages.shared.addresses import Query, address
from fitment.pages.shared.page import page
from fitment.pages.shared.questions import question_view
from fitment.pages.shared.refusals import error_lines, facts_to_drop
from fitment.query.parameters import parse_question, without_empty
from fitment.readers.corners import axles_by_layout
from fitment.readers.vocabulary import names
from fitment.services.fit.answering import answer_question
from fitment.services.jobs.planning import JobSummaries, job_summaries
from fitment.text.cautions import USUAL_CAUTIONS
from fitment.text.names import car_heading
from fitment.text.refusals import refusal_errors, refusal_words

PATH = "/car/"
# More cars than these are counted, not listed by name.
MOST_NAMED = 12
LEGEND = (Verdict.FITS, Verdict.DEPENDS, Verdict.DOES_NOT_FIT, Verdict.NOT_KNOWN)


@page()
def car(request: HttpRequest) -> HttpResponse:
    query = without_empty(request.GET)
    if not query:
        return HttpResponseRedirect("/")
    viewer = role_of(request.user)
    try:
        question = parse_question(query, viewer)
    except BadParameters as fault:
        return _refused(request, query, "This cannot be answered as it is stated", fault.errors, 400)
    try:
        answer = answer_question(question=question, viewer=viewer)
    except NoPossibleCar as refused:
        return _contradiction(request, query, refused)
    except Refusal as refused:
        return _refused(request, query, refusal_words(refused), refusal_errors(refused), 422)
    jobs = job_summaries(question=question, answers=answer)
    return render(request, "car/page.html", car_context(query, question, answer, jobs, viewer))


def car_context(query: Query, question: Question, answer: Answer, jobs: JobSummaries, viewer: Role) -> dict[str, Any]:
    """Everything that the page of an answer shows."""
    called = names()
    variants = variants_by_code(codes=answer.car.variants) if answer.platforms == 1 else []
    layouts = layouts_of_variants(codes=answer.car.variants) if answer.platforms == 1 else []
    parts = part_lines(codes={each.part for each in answer.answers})
    by_place = answers_by_place(answer.answers, parts, called, jobs)
    placed = {(end, place): views for (end, place), views in by_place.items() if end and place}
    known = axles_by_layout(answer.car.variants) if viewer.at_least(Role.DEVELOPMENT) and layouts else {}
    axles = axles_of(answer, layouts, placed, known)
    return {
        "subject": car_heading(question.car, variants, called.makers),
        "car": answer.car,
        "settled": answer.platforms == 1,
        "cars": _cars(variants, len(answer.car.variants)),
        "stating": stating_of(query, called),
        "question": question_view(answer.question, query, PATH),
        "axles": axles,
        "nowhere": by_place.get((None, None), ()),
        "tally": _tally(answer),
        "unknown_places": [place for axle in axles for place in axle.places if place.unknown],
        "cautions": USUAL_CAUTIONS if answer.answers else (),
        "staff": viewer.is_staff,
        "record": record_address("test-fit", query, viewer),
    }


@dataclass(frozen=True, slots=True)
class AgreeingCars:
    """The cars that agree with what is stated; `named` unless there are too many."""

    count: int
    maker: str
    named: tuple[VariantRow, ...]


def _cars(variants: list[VariantRow], count: int) -> AgreeingCars:
    maker = variants[0].maker_title if variants else ""
    return AgreeingCars(count, maker, tuple(variants[:MOST_NAMED]) if count <= MOST_NAMED else ())


def _tally(answer: Answer) -> list[tuple[str, int]]:
    """How many answers have each verdict, in the order of the legend."""
    counts = Counter(each.verdict for each in answer.answers)
    return [(verdict.value, counts[verdict]) for verdict in LEGEND if counts[verdict]]


def _refused(
    request: HttpRequest, query: Query, title: str, wrong: Sequence[tuple[str, str]], status: int
) -> HttpResponse:
    called = names()
    stating = stating_of(query, called, wrong)

    def href(name: str) -> str:
        return f"#f-{name}" if name in stating.form.fields else address(PATH, query, dropping=[name])

    context = {"title": title, "errors": error_lines(wrong, called, href), "stating": stating}
    return render(request, "car/refused.html", context, status=status)


def _contradiction(request: HttpRequest, query: Query, refused: NoPossibleCar) -> HttpResponse:
    """The fewest stated facts that no car meets together, each with the address without it."""
    called = names()
    drops = facts_to_drop(refused, query, called, PATH)
    context = {"title": "No car meets these together", "drops": drops, "stating": stating_of(query, called)}
    return render(request, "car/refused.html", context, status=422)
