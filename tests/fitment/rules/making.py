"""Short ways to make facts: one car with one joint and one part, each changed where a test needs it."""

from datetime import date
from typing import Any

from catalog.conditions import parse_conditions
from catalog.windows import ALWAYS, Window
from fitment.domain.description import Description, Question
from fitment.domain.facts import Axle, Facts, FitDecision, Joint, Option, Part, Revision, TestFit, Variant
from fitment.rules.answer import FitResult, PartAnswer, answer
from fitment.rules.possible_cars import CarSpace

PLACE = ("front", "arm")
AXLES = ("FX",)


def car(code: str = "V", **given: Any) -> Variant:
    values = {
        "maker": "M", "chassis": "Q", "designation": "20", "body": "saloon", "engine": "E20", "drivetrain": "rwd",
        "steering": "left", "market": "EU", "built_from": date(2020, 1, 1), "built_to": date(2020, 12, 31),
        "front_axle": "FX",
    }  # fmt: skip
    return Variant(code, **{**values, **given})


def joint(component: str = "C", first: date | None = None, last: date | None = None, **given: Any) -> Joint:
    conditions = parse_conditions(given.pop("conditions", ""))
    window = Window(first, last) if first or last else ALWAYS
    return Joint(component, window, conditions, **given)


def axle(code: str = "FX", end: str = "front", **joints: tuple[Joint, ...]) -> Axle:
    """Locations by name, each in our range, with its joints."""
    return Axle(code, end, dict.fromkeys(joints, True), joints)


def decided(decision: str = "approved", on: date = date(2020, 6, 1), conditions: str = "", **given: Any) -> FitDecision:
    return FitDecision(decision, on, parse_conditions(conditions), **given)


def tried(on: date, *, passed: bool, axle: str = "FX", location: str = "arm", **car_of: str) -> TestFit:
    drivetrain, steering = car_of.get("drivetrain", "rwd"), car_of.get("steering", "left")
    return TestFit(axle, location, "C", on, passed, drivetrain, steering)


def revision(letter: str = "A", *decisions: FitDecision, tests: tuple[TestFit, ...] = (), **given: Any) -> Revision:
    given.setdefault("status", "released")
    return Revision(letter, decisions={"C": decisions} if decisions else {}, tests={"C": tests}, **given)


def facts(*variants: Variant, **given: Any) -> Facts:
    """One car, one joint `C` at the front arm, one part `P` approved for it, but for what is given."""
    axles = given.pop("axles", (axle(arm=(joint(),)),))
    parts = given.pop("parts", (Part("P", revisions=given.pop("revisions", (revision("A", decided()),))),))
    options = given.pop("options", ())
    placements: dict[str, set[tuple[str, str]]] = {}
    for one in axles:
        for location, joints in one.joints.items():
            for each in joints:
                placements.setdefault(each.component, set()).add((one.end, location))
    return Facts(
        variants=variants or (car(),),
        axles={one.code: one for one in axles},
        options={one.code: one for one in options},
        parts={one.code: one for one in parts},
        placements={component: frozenset(places) for component, places in placements.items()},
        location_ends={location: frozenset({one.end}) for one in axles for location in one.locations},
        **given,
    )


def option(code: str, group: str = "", *, required: bool = False) -> Option:
    return Option(code, group, required)


def ask(of: Facts, *, staff: bool = False, skipped: tuple[str, ...] = (), **stated: Any) -> FitResult:
    question = Question(car=Description(**stated), skipped=frozenset(skipped))
    return answer(CarSpace(of, question.car), question, staff=staff)


def only(of: Facts, *, staff: bool = False, **stated: Any) -> PartAnswer:
    """The one answer that facts with one part and one place give."""
    (found,) = ask(of, staff=staff, **stated).answers
    return found
