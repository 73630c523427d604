"""What a record is about, as far as the address says: the car, the joint, and the ways to say the rest."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.http import QueryDict
from django.urls import reverse

from catalog.codes import End, Role
from catalog.models import Axle, Component
from catalog.selectors.cars import VariantRow, platforms_with_cars, variants_by_code
from fitment.errors import BadParameters, NoPossibleCar, TooMuchWork
from fitment.pages.record.links import is_of_car
from fitment.pages.shared.addresses import Query, address
from fitment.pages.start.steps import variant_words
from fitment.query.parameters import parse_question, without_empty
from fitment.readers.names import names
from fitment.services.coverage.recording import JointThere, cars_left, joints_there
from fitment.text.dates import window_words
from fitment.text.refusals import refusal_words

MOST_OFFERED = 80  # cars or chassis offered at once; more are asked for in the box


@dataclass(frozen=True, slots=True)
class Offer:
    """Something to tap: where it leads, what it is called, what tells it apart."""

    href: str
    label: str
    hint: str = ""
    group: str = ""


@dataclass
class Subject:
    """The car and the joint of the address; `query` is the address itself, `problem` what contradicts in it."""

    query: Query
    cars: list[str] = field(default_factory=list)
    car: VariantRow | None = None
    joints: list[JointThere] = field(default_factory=list)
    axle: str = ""
    location: str = ""
    component: str = ""
    end: str = ""
    problem: str = ""

    @property
    def has_place(self) -> bool:
        return bool(self.axle and self.location)

    @property
    def joints_asked(self) -> list[JointThere]:
        """The joints that may be meant: where a place is named at which the car may have one of several, those."""
        return self._at_place if self.may_be_several else self.joints

    @property
    def may_be_several(self) -> bool:
        """Whether the place is named, but not which of several original joints the car has there."""
        return not self.component and any(len(one.components) > 1 for one in self._at_place)

    @property
    def _at_place(self) -> list[JointThere]:
        return [one for one in self.joints if (one.axle, one.location) == (self.axle, self.location)]

    def at(self, **values: str) -> str:
        """This page with some more said; an empty value is taken back."""
        dropped = [name for name, value in values.items() if not value]
        adding = {name: value for name, value in values.items() if value}
        return address(reverse("record"), self.query, adding=adding, dropping=[*dropped, "stored"])

    def without_car(self) -> str:
        """This page with another car to be named; the joint goes with the car."""
        kept = {name: values for name, values in self.query.items() if not is_of_car(name)}
        return address(reverse("record"), kept, dropping=["axle", "location", "component", "stored"])

    def with_car(self, car: Query) -> str:
        """This page with another car, as it was described."""
        kept = {name: values for name, values in self.query.items() if not is_of_car(name)}
        return address(reverse("record"), {**kept, **car}, dropping=["stored"])


def subject_of(asked: QueryDict, viewer: Role) -> Subject:
    """What the address says. A car that is described is settled where one variant is left of it."""
    query = without_empty(asked)
    found = Subject(query, axle=first(query, "axle"), location=first(query, "location"))
    found.component = first(query, "component")
    car = {name: values for name, values in query.items() if is_of_car(name)}
    if car:
        try:
            found.cars = cars_left(question=parse_question(car, viewer))
        except BadParameters as bad:
            found.problem = "; ".join(f"{name}: {message}" for name, message in bad.errors)
        except NoPossibleCar:
            found.problem = "No car meets these together."
    if len(found.cars) == 1:
        (found.car,) = variants_by_code(codes=found.cars)
        try:
            found.joints = joints_there(variant=found.car.code)
        except TooMuchWork as refused:
            found.problem = refusal_words(refused)
        _settle_place(found, car)
    if found.axle:
        found.end = Axle.objects.filter(code=found.axle).values_list("end", flat=True).first() or ""
    return found


def _settle_place(found: Subject, car: Query) -> None:
    """`place=END.LOCATION` is a joint of whichever car it is; the one joint that can be there needs no naming."""
    end, _, location = first(found.query, "place").partition(".")
    for there in found.joints:
        if (there.end, there.location) == (end, location) and not found.has_place:
            found.axle, found.location = there.axle, there.location
        if (there.axle, there.location) == (found.axle, found.location) and not found.component:
            stated = first(car, f"component.{there.end}.{there.location}")
            one = there.components[0] if len(there.components) == 1 else ""
            found.component = stated if stated in there.components else one


def car_offers(subject: Subject, recent: Iterable[str]) -> dict[str, list[Offer]]:
    """The cars to choose from: those that the address leaves, or the last ones of this phone and every chassis."""
    if subject.cars:
        rows = variants_by_code(codes=subject.cars)
        if len({(row.maker, row.chassis) for row in rows}) == 1 and len(rows) <= MOST_OFFERED:
            return {"cars": [car_offer(subject, row) for row in rows]}
        chassis = {(row.maker, row.chassis): row.maker_title for row in rows}
        return {"chassis": [_chassis_offer(subject, *key, title) for key, title in chassis.items()][:MOST_OFFERED]}
    known = {row.code: row for row in variants_by_code(codes=recent)}
    platforms = platforms_with_cars()
    makers = names().makers
    return {
        "recent": [car_offer(subject, known[code]) for code in recent if code in known],
        "chassis": [_chassis_offer(subject, row.maker, row.chassis, makers.get(row.maker, row.maker))
                    for row in platforms] if len(platforms) <= MOST_OFFERED else [],
    }  # fmt: skip


def car_offer(subject: Subject, row: VariantRow) -> Offer:
    steering = "" if row.steering == "left" else f", {row.steering}-hand drive"
    hint = f"{row.engine}, {row.drivetrain}{steering}, {row.market}, {window_words(row.built_from, row.built_to)}"
    return Offer(subject.at(variant=row.code), f"{row.chassis} {row.designation} {row.body}", hint)


def _chassis_offer(subject: Subject, maker: str, chassis: str, title: str) -> Offer:
    return Offer(subject.at(maker=maker, chassis=chassis), chassis, title)


def joint_offers(subject: Subject) -> list[Offer]:
    """Every original joint that the car may have, front to rear."""
    titles = names()
    found = []
    for there in subject.joints_asked:
        title = titles.location(there.end, there.location)
        for component in there.components or ("",):
            href = subject.at(axle=there.axle, location=there.location, component=component, place="")
            called, group = titles.components.get(component, ""), f"{End.word_of(there.end)} {there.axle}"
            if subject.may_be_several:
                found.append(Offer(href, called or component, component, group))
            else:
                hint = f"{component} {called}".strip() or "original joint not recorded"
                found.append(Offer(href, title, hint, group))
    return found


def lines_of(subject: Subject) -> list[Offer]:
    """What is settled, each with the way to change it."""
    found = []
    if subject.car is not None:
        row = subject.car
        found.append(Offer(subject.without_car(), f"{row.chassis} {variant_words(row)}", row.code, "Car"))
    if subject.has_place:
        title = names().location(subject.end, subject.location)
        hint = " ".join(filter(None, (subject.axle, subject.component)))
        found.append(Offer(subject.at(axle="", location="", component="", place=""), title, hint, "Joint"))
    elif subject.component:
        title = Component.objects.filter(code=subject.component).values_list("title", flat=True).first() or ""
        found.append(Offer(subject.at(component="", feature=""), title, subject.component, "Joint"))
    return found


def first(query: Query, name: str) -> str:
    return query.get(name, [""])[0].strip()
