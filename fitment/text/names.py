"""What codes, parameters and cars are called. Pure."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from catalog.codes import CarAttribute, DayAttribute, Duty, End, Side
from fitment.domain.description import Description
from fitment.text.dates import built_words, day_words

_OTHERS = ["part", "location", "end", "duty", "technology", "equipment", "side", "include"]
_PARAMETERS = {
    **dict((*CarAttribute.choices, *DayAttribute.choices)),
    **{name: name.capitalize() for name in _OTHERS},
    "skip": "Not known",
}
_NAME = ("chassis", "designation", "body")


@dataclass(frozen=True, slots=True)
class Names:
    """Titles by code; `locations` by (end, code)."""

    makers: Mapping[str, str]
    options: Mapping[str, str]
    components: Mapping[str, str]
    locations: Mapping[tuple[str, str], str]

    def parameter(self, name: str) -> str:
        """What a parameter of a question is called."""
        kind, _, rest = name.partition(".")
        if kind == "option":
            return self.options.get(rest, rest)
        if kind == "component":
            end, _, location = rest.partition(".")
            return f"Original joint, {self.location(end, location)}"
        return _PARAMETERS.get(name, name)

    def value(self, name: str, value: str) -> str:
        """What the value of a parameter is called."""
        if name == "maker":
            return self.makers.get(value, value)
        if name == "steering":
            return drive_words(value)
        if name.startswith("component."):
            return self.components.get(value, value)
        if name == "skip":
            return self.parameter(value)
        if name == "duty":
            return Duty.word_of(value)
        if name == "end":
            return End.word_of(value)
        return value

    def fact(self, name: str, value: str) -> str:
        """A stated fact in a few words."""
        if name.startswith("option."):
            return f"{'with' if value == 'yes' else 'without'} {self.parameter(name)}"
        return f"{self.parameter(name).lower()} {self.value(name, value)}"

    def location(self, end: str, code: str) -> str:
        """A joint's title at an end of the car."""
        return self.locations.get((end, code), code)

    def place(self, end: str | None, location: str | None) -> str:
        """A joint and its end of the car, or nothing for no place."""
        return f"{self.location(end, location)}, {End.word_of(end)}" if end and location else ""


def drive_words(steering: str) -> str:
    """On which side one steers.

    >>> drive_words("left")
    'left-hand drive'
    """
    return f"{steering}-hand drive" if steering in (Side.LEFT, Side.RIGHT) else steering


class NamedCar(Protocol):
    """A car of the catalogue, as far as a heading names it."""

    @property
    def code(self) -> str: ...

    @property
    def chassis(self) -> str: ...

    @property
    def designation(self) -> str: ...

    @property
    def body(self) -> str: ...


def car_heading(car: Description, variants: Sequence[NamedCar], makers: Mapping[str, str]) -> str:
    """What is stated of a car as a heading: 'QN4 18 saloon, built May 2018'.

    A stated variant is named by its chassis, designation and body. The maker (`makers`: titles by code) is
    named where the chassis is not.
    """
    stated = car.texts()
    if car.variant is not None:
        of_variant = next((row for row in variants if row.code == car.variant), None)
        if of_variant is not None:
            stated = {name: getattr(of_variant, name) for name in _NAME} | stated
    named = [stated[name] for name in _NAME if name in stated]
    if "chassis" not in stated and "maker" in stated:
        named = [makers.get(stated["maker"], stated["maker"]), *named]
    rest = [stated[name] for name in ("engine", "drivetrain") if name in stated and car.variant is None]
    words = " ".join(named) or "A car"
    return ", ".join((words, *rest, *_days(car)))


def _days(car: Description) -> Iterable[str]:
    window = car.day_windows().get("built")
    if window is not None:
        yield built_words(window)
    yield from (f"model year {year}" for year in car.model_years)
    yield from (f"first registered {day_words(day)}" for day in car.registered)
