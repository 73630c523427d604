"""What a record is about, as far as the address says: the car, the joint, and the ways to say the rest.

Also the way to the page from elsewhere, and what its phone remembers.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from urllib.parse import parse_qs, urlencode

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.urls import reverse

from catalog.codes import End, Role, Side
from catalog.selectors.cars import VariantRow, platforms_with_cars, variants_by_code
from fitment.errors import BadParameters, NoPossibleCar, TooMuchWork
from fitment.pages.shared.addresses import Query, address, is_of_car
from fitment.query.parameters import parse_question, without_empty
from fitment.readers.vocabulary import names
from fitment.services.coverage.recording import CarJoint, cars_left, end_of_axle, joints_there
from fitment.text.dates import window_words
from fitment.text.names import drive_words
from fitment.text.record import JOINT_NOT_RECORDED, NO_CAR
from fitment.text.refusals import refusal_words

_COOKIE = "recorded"
_CARS = 5
_AGE = 90 * 86400
MOST_OFFERED = 80  # cars or chassis offered at once; more are asked for in the box


@dataclass(frozen=True, slots=True)
class SubjectOffer:
    """Something to tap: where it leads, what it is called, what tells it apart."""

    href: str
    label: str
    hint: str = ""
    group: str = ""


@dataclass
class RecordSubject:
    """The car and the joint of the address; `query` is the address itself, `problem` what contradicts in it."""

    query: Query
    cars: list[str] = field(default_factory=list)
    car: VariantRow | None = None
    joints: list[CarJoint] = field(default_factory=list)
    axle: str = ""
    location: str = ""
    component: str = ""
    end: str = ""
    problem: str = ""

    @property
    def has_place(self) -> bool:
        return bool(self.axle and self.location)

    @property
    def joints_asked(self) -> list[CarJoint]:
        """The joints that may be meant: where a place is named at which the car may have one of several, those."""
        return self._at_place if self.may_be_several else self.joints

    @property
    def may_be_several(self) -> bool:
        """Whether the place is named, but not which of several original joints the car has there."""
        return not self.component and any(len(one.components) > 1 for one in self._at_place)

    @property
    def _at_place(self) -> list[CarJoint]:
        return [one for one in self.joints if (one.axle, one.location) == (self.axle, self.location)]

    def at(self, **values: str) -> str:
        """This page with some more said; an empty value is taken back."""
        dropped = [name for name, value in values.items() if not value]
        adding = {name: value for name, value in values.items() if value}
        return address(reverse("record"), self.query, adding=adding, dropping=[*dropped, "stored"])

    def without_car(self) -> str:
        """This page with another car to be named; the joint goes with the car."""
        return address(reverse("record"), self._without_car, dropping=["axle", "location", "component", "stored"])

    def with_car(self, car: Query) -> str:
        """This page with another car, as it was described."""
        return address(reverse("record"), {**self._without_car, **car}, dropping=["stored"])

    @property
    def _without_car(self) -> Query:
        return {name: values for name, values in self.query.items() if not is_of_car(name)}


def subject_of(stated: QueryDict, viewer: Role) -> RecordSubject:
    """What the address says. A car that is described is settled where one variant is left of it."""
    query = without_empty(stated)
    found = RecordSubject(query, axle=first(query, "axle"), location=first(query, "location"))
    found.component = first(query, "component")
    car = {name: values for name, values in query.items() if is_of_car(name)}
    if car:
        try:
            found.cars = cars_left(question=parse_question(car, viewer))
        except BadParameters as bad:
            found.problem = "; ".join(f"{name}: {message}" for name, message in bad.errors)
        except NoPossibleCar:
            found.problem = NO_CAR
    if len(found.cars) == 1:
        (found.car,) = variants_by_code(codes=found.cars)
        try:
            found.joints = joints_there(variant=found.car.code)
        except TooMuchWork as refused:
            found.problem = refusal_words(refused)
        _settle_place(found, car)
    if found.axle:
        found.end = end_of_axle(found.axle)
    return found


def _settle_place(found: RecordSubject, car: Query) -> None:
    """`place=END.LOCATION` is a joint of whichever car it is; the one joint that can be there needs no naming."""
    end, _, location = first(found.query, "place").partition(".")
    for there in found.joints:
        if (there.end, there.location) == (end, location) and not found.has_place:
            found.axle, found.location = there.axle, there.location
        if (there.axle, there.location) == (found.axle, found.location) and not found.component:
            stated = first(car, f"component.{there.end}.{there.location}")
            one = there.components[0] if len(there.components) == 1 else ""
            found.component = stated if stated in there.components else one


def car_offers(subject: RecordSubject, recent: Iterable[str]) -> dict[str, list[SubjectOffer]]:
    """The cars to choose from: those that the address leaves, or the last ones of this phone and every chassis."""
    offers: dict[str, list[SubjectOffer]] = {}
    if subject.cars:
        rows = variants_by_code(codes=subject.cars)
        chassis = {(row.maker, row.chassis): row.maker_title for row in rows}
        if len(chassis) == 1 and len(rows) <= MOST_OFFERED:
            return {"cars": [_car_offer(subject, row) for row in rows]}
    else:
        known = {row.code: row for row in variants_by_code(codes=recent)}
        offers["recent"] = [_car_offer(subject, known[code]) for code in recent if code in known]
        makers = names().makers
        chassis = {(row.maker, row.chassis): makers.get(row.maker, row.maker) for row in platforms_with_cars()}
        if len(chassis) > MOST_OFFERED:
            return offers
    chosen = list(chassis.items())[:MOST_OFFERED]
    offers["chassis"] = [SubjectOffer(subject.at(maker=key[0], chassis=key[1]), key[1], title) for key, title in chosen]
    return offers


def _car_offer(subject: RecordSubject, row: VariantRow) -> SubjectOffer:
    steering = "" if row.steering == Side.LEFT else f", {drive_words(row.steering)}"
    hint = f"{row.engine}, {row.drivetrain}{steering}, {row.market}, {window_words(row.built_from, row.built_to)}"
    return SubjectOffer(subject.at(variant=row.code), f"{row.chassis} {row.designation} {row.body}", hint)


def joint_offers(subject: RecordSubject) -> list[SubjectOffer]:
    """Every original joint that the car may have, front to rear."""
    titles = names()
    found = []
    for there in subject.joints_asked:
        title = titles.location(there.end, there.location)
        for component in there.components or ("",):
            href = subject.at(axle=there.axle, location=there.location, component=component, place="")
            called, group = titles.components.get(component, ""), f"{End.word_of(there.end)} {there.axle}"
            if subject.may_be_several:
                found.append(SubjectOffer(href, called or component, component, group))
            else:
                hint = f"{component} {called}".strip() or JOINT_NOT_RECORDED
                found.append(SubjectOffer(href, title, hint, group))
    return found


def lines_of(subject: RecordSubject) -> list[SubjectOffer]:
    """What is settled, each with the way to change it."""
    found = []
    if subject.car is not None:
        row = subject.car
        found.append(SubjectOffer(subject.without_car(), f"{row.chassis} {row}", row.code, "Car"))
    if subject.has_place:
        title = names().location(subject.end, subject.location)
        hint = " ".join(filter(None, (subject.axle, subject.component)))
        found.append(SubjectOffer(subject.at(axle="", location="", component="", place=""), title, hint, "Joint"))
    elif subject.component:
        title = names().components.get(subject.component, "")
        found.append(SubjectOffer(subject.at(component="", feature=""), title, subject.component, "Joint"))
    return found


def first(query: Query, name: str) -> str:
    return query.get(name, [""])[0].strip()


def record_address(kind: str, query: Query, viewer: Role, more: Mapping[str, list[str]] | None = None) -> str:
    """The page that records something on the car of a query, as far as it is stated; empty for those who may not."""
    if not viewer.at_least(Role.DEVELOPMENT):
        return ""
    car = {name: values for name, values in query.items() if is_of_car(name)}
    return address(reverse("record"), {**car, **(more or {}), "kind": [kind]})


class Memory:
    """What this phone recorded last: its cars, the part, the instrument; codes only, kept in a cookie of this page.

    What it names may be gone from the catalogue meanwhile.
    """

    def __init__(self, request: HttpRequest) -> None:
        kept = parse_qs(request.COOKIES.get(_COOKIE, "")[:2000])
        self.cars = kept.get("variant", [])[:_CARS]
        self._values = {name: values[0] for name, values in kept.items() if name != "variant"}

    def last(self, name: str) -> str:
        return self._values.get(name, "")

    def keep(self, answer: HttpResponseBase, row: Mapping[str, str]) -> None:
        """Notes a stored row for the next time."""
        values = dict(self._values)
        if row.get("part") and row.get("revision"):
            values["fitted"] = f"{row['part']} {row['revision']}"
        if row.get("equipment"):
            values["equipment"] = row["equipment"]
        if row.get("feature") and row.get("uncertainty_mm"):
            values[instrument(row["feature"])] = row["uncertainty_mm"]
        cars = list(dict.fromkeys(filter(None, (row.get("variant"), *self.cars))))[:_CARS]
        answer.set_cookie(
            _COOKIE,
            urlencode({**values, "variant": cars}, doseq=True),
            max_age=_AGE,
            path="/test-fit/",
            secure=settings.SESSION_COOKIE_SECURE,
            httponly=True,
            samesite="Lax",
        )


def instrument(feature: str) -> str:
    """Under which name the uncertainty of the instrument for a feature is remembered."""
    return f"uncertainty.{feature}"
