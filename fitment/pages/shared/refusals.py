"""Why a page has no answer, and what would make one: each way on as an address."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import End, EquipmentSet
from catalog.selectors.titles import tool_titles
from fitment.errors import (
    BadParameters,
    Excluded,
    NoPlan,
    NoPossibleCar,
    OneJointTwice,
    OnHold,
    Refusal,
    SeveralPlaces,
    SeveralPlatforms,
)
from fitment.pages.shared.addresses import Query, address, is_of_car
from fitment.pages.shared.questions import question_view
from fitment.query.parameters import without_empty
from fitment.readers.vocabulary import names
from fitment.text.fit import batch_words
from fitment.text.names import Names
from fitment.text.refusals import refusal_errors, refusal_words

UNREADABLE = {"/job/": "This job cannot be read"}
SHOWN_OTHERWISE = (NoPossibleCar, SeveralPlatforms, SeveralPlaces, OnHold, NoPlan, OneJointTwice, Excluded)
"""Refusals whose errors, field by field, say again what the title or the ways on say."""


class RefusalPages:
    """Middleware: a page whose view was refused says why, in the words of the API, and offers the ways on."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if not isinstance(exception, BadParameters | Refusal):
            return None
        query = without_empty(request.GET)
        context = refusal_context(exception, query, request.path)
        wrong = {name for name, _ in exception.errors} if isinstance(exception, BadParameters) else set()
        car = {name: values for name, values in query.items() if is_of_car(name) and name not in wrong}
        context["car_href"] = address("/car/", car) if car else ""
        return render(request, "refused.html", context, status=400 if isinstance(exception, BadParameters) else 422)


def refusal_context(refused: BadParameters | Refusal, query: Query, path: str) -> dict[str, Any]:
    """What is wrong and the ways on, which lead to `path`."""
    called = names()
    if isinstance(refused, BadParameters):
        return {"title": UNREADABLE.get(path, "This cannot be read"), "errors": error_lines(refused.errors, called)}
    errors = [] if isinstance(refused, SHOWN_OTHERWISE) else error_lines(refusal_errors(refused), called)
    return {"title": refusal_words(refused), "errors": errors, **_ways_on(refused, query, called, path)}


def error_lines(
    errors: Iterable[tuple[str, str]], called: Names, href: Callable[[str], str] = lambda name: ""
) -> list[dict[str, str]]:
    """Errors as components/errors.html takes them; `href`: where what is wrong with a parameter is put right."""
    return [
        {"label": called.parameter(name) if name else "", "message": message, "href": href(name) if name else ""}
        for name, message in errors
    ]


def facts_to_drop(refused: NoPossibleCar, query: Query, called: Names, path: str) -> list[dict[str, str]]:
    """Each of the facts that no car meets together, with the address without it."""
    return [
        {"label": f"without {called.fact(name, value)}", "href": address(path, query, dropping=[name])}
        for name in refused.fields
        for value in query.get(name, [""])[:1]
    ]


def _ways_on(refused: Refusal, query: Query, called: Names, path: str) -> dict[str, Any]:
    match refused:
        case SeveralPlatforms():
            return {"question": question_view(refused.question, query, path, skippable=False)}
        case NoPossibleCar():
            return {"offers": facts_to_drop(refused, query, called, path), "offers_title": "Take one of these back"}
        case SeveralPlaces():
            return {"offers": list(_places(refused.places, query, called, path)), "offers_title": "Where"}
        case OnHold():
            return {
                "holds": [
                    {"batches": batch_words(hold.batch_from, hold.batch_to), "look_for": hold.look_for}
                    for hold in refused.holds
                ]
            }
        case NoPlan():
            return {"opens": list(_opens(refused.opens, query, called, path))}
    return {}


def _places(places: Iterable[str], query: Query, called: Names, path: str) -> Iterable[dict[str, str]]:
    """For the one part that fits several places: the address for each of them."""
    bare = [value for value in query.get("part", []) if ":" not in value]
    for place in places:
        end, _, location = place.partition(".")
        changed = {name: list(values) for name, values in query.items()}
        if len(bare) == 1:
            changed["part"] = [f"{value}:{place}" if value == bare[0] else value for value in query["part"]]
        label = called.place(end, location)
        yield {"label": label, "href": address(path, changed) if len(bare) == 1 else ""}


def _opens(
    opens: Mapping[str, Sequence[Sequence[str]]], query: Query, called: Names, path: str
) -> Iterable[dict[str, Any]]:
    """Per goal the sets of equipment that would open it, each with the address that adds them."""
    titles = tool_titles(codes={code for sets in opens.values() for codes in sets for code in codes})
    at_hand = query.get("equipment", ["shop"])[0]
    for goal, sets in opens.items():
        part, _, place = goal.partition(" ")
        end, _, location = place.partition(".")
        yield {
            "goal": f"{part}, {called.location(end, location)}, {End.word_of(end)}",
            "sets": [
                {
                    "words": " and ".join(titles.get(code, code) for code in codes),
                    "href": _with_equipment(query, at_hand, codes, path),
                }
                for codes in sets
            ],
        }


def _with_equipment(query: Query, at_hand: str, codes: Sequence[str], path: str) -> str:
    """The job with a workshop's equipment where a home lacks it; a list of pieces grows by what is missing."""
    if at_hand in EquipmentSet.values:
        return address(path, query, dropping=["equipment"]) if at_hand == "home" else ""
    return address(path, query, adding={"equipment": ",".join(sorted({*at_hand.split(","), *codes}))})
