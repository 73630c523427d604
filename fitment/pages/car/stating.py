"""What is stated of the car, and how to change each fact: chips that can be taken away and a form of the rest."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from catalog.selectors.cars import StatableFacts, statable_facts
from fitment.domain.description import TEXT_ATTRIBUTES
from fitment.pages.shared.addresses import Query, address, without_value
from fitment.text.names import Names

_FORM_TEXTS = tuple(name for name in TEXT_ATTRIBUTES if name != "variant")
_DAYS = (
    ("built", "Built", "A year, a month or a day: 2018, 2018-05, 2018-05-14; or a range: 2016-03..2018-07"),
    ("registered", "First registered", "A full day: 2018-05-14. The car was built on or before it."),
    ("model_year", "Model year", "Four digits: 2018"),
)
_YES_NO = (("yes", "yes"), ("no", "no"))


@dataclass(frozen=True, slots=True)
class Chip:
    """A stated fact and the address without it."""

    name: str
    label: str
    value: str
    drop: str


@dataclass(frozen=True, slots=True)
class Field:
    """A field of the form, as components/field.html takes it."""

    name: str
    label: str
    kind: str
    value: str = ""
    hint: str = ""
    error: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    described_by: str = ""


@dataclass(frozen=True, slots=True)
class Stating:
    """`kept`: parameters that the form carries along unseen."""

    chips: tuple[Chip, ...]
    fields: tuple[Field, ...]
    options: tuple[Field, ...]
    kept: tuple[tuple[str, str], ...] = field(default=())
    open: bool = False


def stating_of(query: Query, names: Names, errors: Iterable[tuple[str, str]] = ()) -> Stating:
    """The chips and the form for a query; what is wrong stands at its field, and what was typed stays."""
    wrong = dict(errors)
    facts = statable_facts(maker=_first(query, "maker"), chassis=_first(query, "chassis"))
    texts = tuple(_text_field(name, query, names, facts, wrong) for name in _FORM_TEXTS)
    days = tuple(_field(name, label, "text", query, wrong, hint=hint) for name, label, hint in _DAYS)
    options = tuple(
        _field(f"option.{code}", title, "select", query, wrong, choices=_YES_NO) for code, title in facts.options
    )
    in_form = {each.name for each in (*texts, *days, *options)}
    return Stating(
        chips=tuple(_chips(query, names)),
        fields=texts + days,
        options=options,
        # A form field holds one value; further ones are carried along, since dropping one would widen the car.
        kept=tuple((name, value) for name, values in query.items() for value in values[1 if name in in_form else 0 :]),
        open=bool(wrong),
    )


def _chips(query: Query, names: Names) -> Iterable[Chip]:
    for name, values in query.items():
        if name == "include":
            continue
        for value in values:
            drop = address("/car/", without_value(query, name, value))
            if name == "skip":
                yield Chip(name, names.parameter(value), "not known", drop)
            else:
                yield Chip(name, names.parameter(name), names.value(name, value), drop)


def _text_field(name: str, query: Query, names: Names, facts: StatableFacts, wrong: Mapping[str, str]) -> Field:
    choices = tuple((value, names.value(name, value)) for value in facts.values[name])
    value = _first(query, name)
    if value and value not in facts.values[name]:
        choices = ((value, value), *choices)
    return _field(name, names.parameter(name), "select", query, wrong, choices=choices)


def _field(
    name: str,
    label: str,
    kind: str,
    query: Query,
    wrong: Mapping[str, str],
    *,
    hint: str = "",
    choices: tuple[tuple[str, str], ...] = (),
) -> Field:
    error = wrong.get(name, "")
    described = " ".join(f"f-{name}-{part}" for part, there in (("hint", hint), ("error", error)) if there)
    return Field(name, label, kind, _first(query, name), hint, error, choices, described)


def _first(query: Query, name: str) -> str:
    values = query.get(name, [])
    return values[0] if values else ""
