"""What can go wrong with a question, as one tree.

FitmentError
├── BadParameters       an unknown parameter or value: 400
├── NoPossibleCar       facts that no car meets together: 422
├── SeveralPlatforms    a listing needs one platform: 422
├── JobRefused          no job can be planned, with the reason: 422
└── TooMuchWork         a question that would take too long: 422, "state more"
"""

from collections.abc import Iterable, Sequence
from typing import Any


class FitmentError(Exception):
    """The root; the message is fit for the reader."""


class BadParameters(FitmentError):
    """Every unknown parameter and value of one question, each with what is wrong and what would be right."""

    def __init__(self, errors: Iterable[tuple[str, str]]) -> None:
        self.errors: list[tuple[str, str]] = list(errors)
        super().__init__("; ".join(f"{field}: {message}" for field, message in self.errors))


class NoPossibleCar(FitmentError):
    """No car meets what is stated; `fields` are the fewest stated facts that no car meets together."""

    def __init__(self, fields: Sequence[str]) -> None:
        self.fields = list(fields)
        named = ", ".join(self.fields) or "the catalogue has no car"
        super().__init__(f"No car meets these together: {named}")


class SeveralPlatforms(FitmentError):
    """The car is one of several platforms; `question` (a results.Question or None) tells them apart."""

    def __init__(self, question: Any = None) -> None:
        self.question = question
        super().__init__("The car may still be of several platforms")


class JobRefused(FitmentError):
    """No job can be planned. `reason` is a code, `extra` what the reader needs to go on.

    no_possible_car (`fields`), several_platforms (`question`), does_not_fit (`verdict`, `places`), several_places
    (`places`), on_hold (`holds`), one_joint_twice, excluded, no_common_car, no_plan (`opens`: by goal the smallest
    sets of equipment that would open it).
    """

    def __init__(self, reason: str, message: str, *, errors: Iterable[tuple[str, str]] = (), **extra: Any) -> None:
        self.reason = reason
        self.errors: list[tuple[str, str]] = list(errors)
        self.extra = extra
        super().__init__(message)


class TooMuchWork(FitmentError):
    """The question leaves more possibilities than one answer may weigh; stating more of the car helps."""

    def __init__(self) -> None:
        super().__init__("Too many possibilities are left; state more of the car")
