"""What is stated of the car, and how to change each fact: chips that can be taken away and a form of the rest."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.forms import BoundField

from catalog.codes import CarAttribute, DayAttribute, YesNo
from catalog.conditions import OPTION
from catalog.selectors.cars import statable_facts
from fitment.pages.shared.addresses import Query, address, without_value
from fitment.pages.shared.forms import PageForm
from fitment.text.names import Names

_FORM_TEXTS = tuple(name.value for name in CarAttribute if name is not CarAttribute.VARIANT)
_DAYS = {
    DayAttribute.BUILT: "A year, a month or a day: 2018, 2018-05, 2018-05-14; or a range: 2016-03..2018-07",
    DayAttribute.REGISTERED: "A full day: 2018-05-14. The car was built on or before it.",
    DayAttribute.MODEL_YEAR: "Four digits: 2018",
}


@dataclass(frozen=True, slots=True)
class Chip:
    """A stated fact and the address without it."""

    name: str
    label: str
    value: str
    drop: str


@dataclass(frozen=True, slots=True)
class Stating:
    """`kept`: parameters that the form carries along unseen."""

    chips: tuple[Chip, ...]
    form: PageForm
    kept: tuple[tuple[str, str], ...]

    @property
    def fields(self) -> list[BoundField]:
        return [field for field in self.form if not field.name.startswith(OPTION)]

    @property
    def options(self) -> list[BoundField]:
        """The fields of factory equipment."""
        return [field for field in self.form if field.name.startswith(OPTION)]


def stating_of(query: Query, names: Names, errors: Iterable[tuple[str, str]] = ()) -> Stating:
    """The chips and the form for a query; what is wrong stands at its field, and what was typed stays."""
    facts = statable_facts(maker=_first(query, "maker"), chassis=_first(query, "chassis"))
    form = PageForm(initial={name: values[0] for name, values in query.items() if values})
    for name in _FORM_TEXTS:
        choices = [(value, names.value(name, value)) for value in facts.values[name]]
        form.add(name, names.parameter(name), choices=choices, empty="not stated")
    for name, help_text in _DAYS.items():
        form.add(name, names.parameter(name), help_text=help_text)
    for code, title in facts.options:
        form.add(OPTION + code, title, choices=YesNo.choices, empty="not stated")
    form.refuse(errors)
    # A form field holds one value; further ones are carried along, since dropping one would widen the car.
    kept = ((name, value) for name, values in query.items() for value in values[1 if name in form.fields else 0 :])
    shown = {name: values for name, values in query.items() if name != "include"}
    return Stating(chips_of(query, names, "/car/", shown), form, tuple(kept))


def chips_of(query: Query, names: Names, path: str, shown: Query) -> tuple[Chip, ...]:
    """What of a query is shown as stated, each with the address at `path` without it."""
    found = []
    for name, values in shown.items():
        for value in values:
            skipped = name == "skip"
            label = names.parameter(value if skipped else name)
            words = "not known" if skipped else names.value(name, value)
            found.append(Chip(name, label, words, address(path, without_value(query, name, value))))
    return tuple(found)


def _first(query: Query, name: str) -> str:
    values = query.get(name, [])
    return values[0] if values else ""
