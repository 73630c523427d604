"""Why there is no job, and what would make one: each way on as an address."""

from collections.abc import Iterable
from typing import Any

from catalog.selectors.tools import tool_titles
from fitment.errors import BadParameters, JobRefused, TooMuchWork
from fitment.pages.car.answers import batch_words
from fitment.pages.shared.addresses import Query, address
from fitment.pages.shared.naming import Names, end_words, names
from fitment.pages.shared.questions import question_view

PATH = "/job/"


def refusal(fault: BadParameters | JobRefused | TooMuchWork, query: Query, *, path: str = PATH) -> dict[str, Any]:
    """The context of job/refused.html; the ways on lead to `path`."""
    called = names()
    context: dict[str, Any] = {"title": "This job cannot be read", "errors": [], "offers": [], "offers_title": ""}
    if isinstance(fault, TooMuchWork):
        return context | {"title": str(fault)}
    context["errors"] = [
        {"label": called.parameter(name) if name else "", "message": message, "href": ""}
        for name, message in fault.errors
    ]
    if isinstance(fault, BadParameters):
        return context
    context["title"] = str(fault)
    context |= _more(fault, query, called, path)
    return context


def _more(fault: JobRefused, query: Query, called: Names, path: str) -> dict[str, Any]:
    """What each reason offers beside its message."""
    extra = fault.extra
    if fault.reason == "several_platforms":
        return {"question": question_view(extra.get("question"), query, path, skippable=False), "errors": []}
    if fault.reason == "no_possible_car":
        drops = [
            {"label": f"without {called.fact(name, value)}", "href": address(path, query, dropping=[name])}
            for name in extra["fields"]
            for value in query.get(name, [""])[:1]
        ]
        return {"offers": drops, "offers_title": "Take one of these back", "errors": []}
    if fault.reason == "several_places":
        return {"offers": list(_places(extra["places"], query, called, path)), "offers_title": "Where", "errors": []}
    if fault.reason == "on_hold":
        holds = [
            {"batches": batch_words(hold.batch_from, hold.batch_to), "look_for": hold.look_for}
            for hold in extra["holds"]
        ]
        return {"holds": holds, "errors": []}
    if fault.reason == "no_plan":
        return {"opens": list(_opens(extra["opens"], query, called, path)), "errors": []}
    return {}


def _places(places: Iterable[str], query: Query, called: Names, path: str) -> Iterable[dict[str, str]]:
    """For the one part that fits several places: the address for each of them."""
    bare = [value for value in query.get("part", []) if ":" not in value]
    for place in places:
        end, _, location = place.partition(".")
        changed = {name: list(values) for name, values in query.items()}
        if len(bare) == 1:
            changed["part"] = [f"{value}:{place}" if value == bare[0] else value for value in query["part"]]
        label = f"{called.location(end, location)}, {end_words(end)}"
        yield {"label": label, "href": address(path, changed) if len(bare) == 1 else ""}


def _opens(opens: dict[str, list[list[str]]], query: Query, called: Names, path: str) -> Iterable[dict[str, Any]]:
    """Per goal the sets of equipment that would open it, each with the address that adds them."""
    titles = tool_titles(codes={code for sets in opens.values() for codes in sets for code in codes})
    at_hand = query.get("equipment", ["shop"])[0]
    for goal, sets in opens.items():
        part, _, place = goal.partition(" ")
        end, _, location = place.partition(".")
        yield {
            "goal": f"{part}, {called.location(end, location)}, {end_words(end)}",
            "sets": [
                {
                    "words": " and ".join(titles.get(code, code) for code in codes),
                    "href": _with_equipment(query, at_hand, codes, path),
                }
                for codes in sets
            ],
        }


def _with_equipment(query: Query, at_hand: str, codes: list[str], path: str) -> str:
    """The job with a workshop's equipment where a home lacks it; a list of pieces grows by what is missing."""
    if at_hand in ("shop", "home"):
        return address(path, query, dropping=["equipment"]) if at_hand == "home" else ""
    return address(path, query, adding={"equipment": ",".join(sorted({*at_hand.split(","), *codes}))})
