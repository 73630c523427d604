"""Answers as data: reasons are codes, wording is done where they leave (5-api.md has the shapes). Pure.

What is for staff is None or empty to the public, and the API leaves it out.
"""

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Annotated

from catalog.codes import Basis, End, InUnknown, Reason, Verdict
from fitment.answers.contract import (
    INTERNAL,
    KNOWN_TO_STAFF,
    MINUTES,
    NOT_ASKED,
    STAFF,
    As,
    Count,
    Named,
    NotAsked,
    TextOrNull,
)


@dataclass(frozen=True, slots=True)
class CatalogueRef:
    """Which catalogue, at which edition, an answer was computed from."""

    id: str
    edition: Count


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer offered to a question: its value, what to call it, the parameters to add.

    `cars`: how many variants it leaves; `undecided`: how many answers still depend then, None where nothing could
    be computed yet.
    """

    value: str
    query: Annotated[dict[str, str], "The parameters to add."]
    label: str = ""
    hint: str = ""
    cars: Annotated[int | None, INTERNAL] = None
    undecided: Annotated[int | None, INTERNAL] = None


@dataclass(frozen=True, slots=True)
class NextQuestion:
    """The question that leaves the fewest `depends` on average.

    `undecided` is None when several platforms are left and nothing was computed; `expected_undecided` is for
    staff.
    """

    attribute: str
    choices: tuple[Choice, ...]
    undecided: int | None = None
    expected_undecided: Annotated[Fraction | None, As(str, str), STAFF, "A fraction; for staff."] = None
    title: Annotated[str, INTERNAL] = ""


@dataclass(frozen=True, slots=True)
class HoldNote:
    """An open hold; `cause` is for staff."""

    batch_from: TextOrNull
    batch_to: TextOrNull
    look_for: str
    opened_on: date
    cause: Annotated[str | None, KNOWN_TO_STAFF] = None

    def without_cause(self) -> "HoldNote":
        return replace(self, cause=None)


@dataclass(frozen=True, slots=True)
class Internal:
    """Another revision of the part, for staff: the verdict it alone would have, proposals as approvals."""

    revision: str
    status: str
    hold: bool
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Orientation:
    """How the part is turned: degrees from a mark."""

    deg: Annotated[str, As(float, float)]
    mark: Annotated[str, Named("from")]


@dataclass(frozen=True, slots=True)
class Remark:
    """Something to say beside an answer; `orientation` where how the part is turned depends on the car.

    `remark`: an engineer's words on the decision (`text`). `newer_joint`: the number chain of `component`
    leads on to `newer`, so a replaced arm may carry that joint; `text` says what to look at.
    """

    code: str
    text: str = ""
    component: str | None = None
    newer: str | None = None


@dataclass(frozen=True, slots=True)
class Paper:
    """An approval or report of the part for a market; shown, never computed with."""

    market: str
    kind: str
    reference: str
    valid_to: date | None = None
    conditions: Annotated[str, Named("conditions_text")] = ""


@dataclass(frozen=True, slots=True)
class RuleNote:
    """What the part asks of others."""

    rule: str
    other: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class HomeFigures:
    """Whether a home can do the job, and how hard and long it is there."""

    possible: bool
    grade: int | None
    hours: float | None


@dataclass(frozen=True, slots=True)
class JobFigures:
    """The job of one answer in figures; `href` leads to all of it."""

    grade: int
    grade_set_by: tuple[str, ...]
    hours: float
    hours_p80: float
    minutes: Annotated[Fraction, MINUTES]
    after_minutes: Annotated[Fraction, MINUTES]
    tools: Annotated[int, "How many tools it takes."]
    after_work: tuple[str, ...]
    home: HomeFigures
    href: str


@dataclass(frozen=True, slots=True)
class PlaceAnswer:
    """The verdict of one part at one location; end and location are None for a part placed nowhere.

    `carried_from`: the letters of the revisions it is carried over from, where that is the basis.
    """

    end: Annotated[str | None, As(End, End)]
    location: str | None
    part: str
    verdict: Verdict
    revision: str | None = None
    basis: Basis | None = None
    carried_from: Annotated[tuple[str, ...], INTERNAL] = ()
    reasons: tuple[Reason, ...] = ()
    undecided_by: tuple[str, ...] = ()
    other_revisions: tuple[str, ...] = ()
    remarks: tuple[Remark, ...] = ()
    orientation: Orientation | None = None
    papers: tuple[Paper, ...] = ()
    rules: tuple[RuleNote, ...] = ()
    holds: tuple[HoldNote, ...] = ()
    internal: Annotated[tuple[Internal, ...] | None, KNOWN_TO_STAFF] = None
    job: Annotated[JobFigures | NotAsked | None, "With `include=job`; null where nothing can be planned."] = NOT_ASKED


@dataclass(frozen=True, slots=True)
class UnknownLocation:
    """A location in our range without a component, in `all` or `some` of the possible cars."""

    end: Annotated[str, As(End, End)]
    location: str
    where: Annotated[InUnknown, Named("in")]


@dataclass(frozen=True, slots=True)
class UnknownAxle:
    """An end of the car without a recorded axle, in `all` or `some` of the possible cars."""

    end: Annotated[str, As(End, End)]
    where: Annotated[InUnknown, Named("in")]


@dataclass(frozen=True, slots=True)
class Car:
    """The car as far as it is known; `in_operation` is for staff."""

    stated: Annotated[dict[str, str | list[str]], "The parameters that state it; a list where one was repeated."]
    variants: tuple[str, ...]
    in_operation: Annotated[int | None, KNOWN_TO_STAFF, "For staff."] = None


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to one question: `platforms` above 1 means that nothing could be computed yet."""

    catalogue: CatalogueRef
    car: Car
    question: NextQuestion | None
    answers: tuple[PlaceAnswer, ...] = ()
    unknown_locations: tuple[UnknownLocation, ...] = ()
    unknown_axles: tuple[UnknownAxle, ...] = ()
    platforms: Annotated[int, INTERNAL] = 1


@dataclass(frozen=True, slots=True)
class PartCar:
    """An interval of a variant's window in which a part has one verdict and revision at a location."""

    variant: str
    end: Annotated[str, As(End, End)]
    location: str
    built_from: date
    built_to: date | None
    verdict: Verdict
    revision: str | None = None
