"""Answers as data: reasons are codes, wording is done where they leave (5-api.md has the shapes). Pure.

Fields for staff only are None to the public, and the API leaves them out.
"""

from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from catalog.codes import Basis, Reason, Verdict


@dataclass(frozen=True, slots=True)
class CatalogueRef:
    """Which catalogue, at which edition, an answer was computed from."""

    id: str
    edition: int


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer offered to a question: its value, what to call it, the parameters to add.

    `cars`: how many variants it leaves; `undecided`: how many answers still depend then, None where nothing could
    be computed yet.
    """

    value: str
    query: dict[str, str]
    label: str = ""
    hint: str = ""
    cars: int | None = None
    undecided: int | None = None


@dataclass(frozen=True, slots=True)
class NextQuestion:
    """The question that leaves the fewest `depends` on average.

    `undecided` is None when several platforms are left and nothing was computed; `expected_undecided` is for
    staff.
    """

    attribute: str
    choices: tuple[Choice, ...]
    undecided: int | None = None
    expected_undecided: Fraction | None = None
    title: str = ""


@dataclass(frozen=True, slots=True)
class HoldNote:
    """An open hold; `cause` is for staff."""

    batch_from: str
    batch_to: str
    look_for: str
    opened_on: date
    cause: str | None = None

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

    deg: str
    mark: str


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
    conditions: str = ""


@dataclass(frozen=True, slots=True)
class PartRule:
    """What the part asks of others."""

    rule: str
    other: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class PlaceAnswer:
    """The verdict of one part at one location; end and location are None for a part placed nowhere.

    `carried_from`: the letters of the revisions it is carried over from, where that is the basis.
    """

    end: str | None
    location: str | None
    part: str
    verdict: Verdict
    revision: str | None = None
    basis: Basis | None = None
    carried_from: tuple[str, ...] = ()
    reasons: tuple[Reason, ...] = ()
    undecided_by: tuple[str, ...] = ()
    other_revisions: tuple[str, ...] = ()
    remarks: tuple[Remark, ...] = ()
    orientation: Orientation | None = None
    papers: tuple[Paper, ...] = ()
    rules: tuple[PartRule, ...] = ()
    holds: tuple[HoldNote, ...] = ()
    internal: tuple[Internal, ...] | None = None


@dataclass(frozen=True, slots=True)
class UnknownLocation:
    """A location in our range without a component, in `all` or `some` of the possible cars."""

    end: str
    location: str
    where: str


@dataclass(frozen=True, slots=True)
class UnknownAxle:
    """An end of the car without a recorded axle, in `all` or `some` of the possible cars."""

    end: str
    where: str


@dataclass(frozen=True, slots=True)
class Car:
    """The car as far as it is known; `in_operation` is for staff."""

    stated: dict[str, str | list[str]]
    variants: tuple[str, ...]
    in_operation: int | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to one question: `platforms` above 1 means that nothing could be computed yet."""

    catalogue: CatalogueRef
    car: Car
    question: NextQuestion | None
    answers: tuple[PlaceAnswer, ...] = ()
    unknown_locations: tuple[UnknownLocation, ...] = ()
    unknown_axles: tuple[UnknownAxle, ...] = ()
    platforms: int = 1


@dataclass(frozen=True, slots=True)
class PartCar:
    """An interval of a variant's window in which a part has one verdict and revision at a location."""

    variant: str
    end: str
    location: str
    built_from: date
    built_to: date | None
    verdict: Verdict
    revision: str | None = None


@dataclass(frozen=True, slots=True)
class Problem:
    """Why one car of a bulk question has no answer: the HTTP status, a title and fields with messages."""

    status: int
    title: str
    errors: tuple[tuple[str, str], ...] = field(default=())
