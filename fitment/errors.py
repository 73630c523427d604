"""What can go wrong with a question, as one tree; `fitment.text.refusals` has the words.

FitmentError
├── BadParameters          unknown parameters or values: 400
└── Refusal                a question that cannot be answered as it is stated: 422, with a `reason`
    ├── TooMuchWork        more possibilities than one answer may weigh
    ├── NoPossibleCar      facts that no car meets together
    ├── SeveralPlatforms   cars of several platforms are left, where one is needed
    ├── OneJointTwice      two parts of a job would sit at one joint
    ├── Excluded           two parts of a job that a rule keeps from one car
    ├── SeveralPlaces      a part of a job that fits several places, none of them named
    ├── OnHold             a revision of a job that is on hold as a whole
    ├── DoesNotFit         a part of a job that fits no possible car
    ├── NoCommonCar        parts of a job that fit no car together
    └── NoPlan             a job without a way in

The fields of a refusal are what a reader needs to go on: the API sends them as members of the problem, pages make
links of them. What the caller may not see is left out where the refusal is raised.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from catalog.codes import Verdict
from fitment.answers.fit import HoldNote, NextQuestion


class FitmentError(Exception):
    """The root."""


class BadParameters(FitmentError):
    """Every unknown parameter and value of one question, each with what is wrong and what would be right."""

    def __init__(self, errors: Iterable[tuple[str, str]]) -> None:
        self.errors: list[tuple[str, str]] = list(errors)
        super().__init__("; ".join(f"{field}: {message}" for field, message in self.errors))


@dataclass(eq=False)
class Refusal(FitmentError):
    """A question that cannot be answered as it is stated."""

    reason: ClassVar[str]


@dataclass(eq=False)
class TooMuchWork(Refusal):
    """More possibilities are left than one answer may weigh; stating more of the car helps."""

    reason = "too_much_work"


@dataclass(eq=False)
class NoPossibleCar(Refusal):
    """No car meets what is stated; `fields` are the fewest stated facts that no car meets together."""

    reason = "no_possible_car"
    fields: Sequence[str]


@dataclass(eq=False)
class SeveralPlatforms(Refusal):
    """The car may still be of several platforms; `question` tells them apart."""

    reason = "several_platforms"
    question: NextQuestion | None = None


@dataclass(eq=False)
class OneJointTwice(Refusal):
    """`part`, as it was asked for, and `other` would both sit at `place` (END.LOCATION)."""

    reason = "one_joint_twice"
    part: str
    other: str
    place: str


@dataclass(eq=False)
class Excluded(Refusal):
    """`part`, as it was asked for, and `other` are not fitted to one car."""

    reason = "excluded"
    part: str
    other: str


@dataclass(eq=False)
class SeveralPlaces(Refusal):
    """`part`, as it was asked for, fits at all of `places` (END.LOCATION)."""

    reason = "several_places"
    part: str
    places: Sequence[str]


@dataclass(eq=False)
class OnHold(Refusal):
    """The revision of `part`, as it was asked for, is on hold as a whole."""

    reason = "on_hold"
    part: str
    revision: str
    holds: Sequence[HoldNote]


@dataclass(frozen=True, slots=True)
class PlaceVerdict:
    """The verdict of a part at one place (END.LOCATION)."""

    place: str
    verdict: Verdict


@dataclass(eq=False)
class DoesNotFit(Refusal):
    """`part`, as it was asked for, fits no possible car: its verdict, and that at each place of its."""

    reason = "does_not_fit"
    part: str
    verdict: Verdict
    places: Sequence[PlaceVerdict] = ()


@dataclass(eq=False)
class NoCommonCar(Refusal):
    """No car fits all of `parts`, as they were asked for, together."""

    reason = "no_common_car"
    parts: Sequence[str]


@dataclass(eq=False)
class NoPlan(Refusal):
    """`opens`: by goal (PART END.LOCATION) the smallest sets of equipment that would open it, on `variant`."""

    reason = "no_plan"
    opens: Mapping[str, Sequence[Sequence[str]]]
    variant: str
