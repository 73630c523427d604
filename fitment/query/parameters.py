"""HTTP parameters -> a Question: the one way in, for the API and the pages.

An unknown parameter or value is refused and names the nearest known: a typing error must never widen the
car. To the public a part without a released or withdrawn revision is as unknown as one that is not there.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Protocol

from catalog.codes import OF_CAR, CarAttribute, DayAttribute, Duty, End, EquipmentSet, Role, YesNo
from catalog.nearest import shortened, unknown
from catalog.vin import VIN_IN_ADDRESS, has_vin_shape
from catalog.windows import BadDate, Window, parse_day, parse_range
from fitment.domain.description import Description, Question, Vocabulary
from fitment.errors import BadParameters
from fitment.readers.vocabulary import vocabulary as current_vocabulary

RESTRICTIONS = ("part", "location", "end", "duty", "technology")
QUESTION_PARAMETERS = (*OF_CAR, *RESTRICTIONS, "skip", "equipment", "include")
SKIPPABLE = (*CarAttribute, DayAttribute.BUILT)
MODEL_YEARS = range(1901, 2200)
VIN_REFUSED = f"{VIN_IN_ADDRESS}; post it to vin/"


class MultiDict(Protocol):
    """A query as Django's QueryDict gives it."""

    def lists(self) -> Iterable[tuple[str, list[str]]]: ...


Query = Mapping[str, list[str]]
Errors = list[tuple[str, str]]


def parse_question(query: MultiDict | Query, viewer: Role) -> Question:
    """The question that parameters state, as this viewer may ask it.

    Raises BadParameters with every unknown parameter and value.
    """
    return read_question(as_lists(query), current_vocabulary(), viewer)


def as_lists(query: MultiDict | Query) -> dict[str, list[str]]:
    """A multi-dict as plain lists by name."""
    pairs = query.items() if isinstance(query, Mapping) and not hasattr(query, "lists") else query.lists()
    return {name: list(values) for name, values in pairs}


def without_empty(query: MultiDict | Query) -> dict[str, list[str]]:
    """The query without empty values, as a form without JavaScript sends for fields left alone."""
    kept = {name: [value for value in values if value.strip()] for name, values in as_lists(query).items()}
    return {name: values for name, values in kept.items() if values}


def read_question(query: Query, vocabulary: Vocabulary, viewer: Role) -> Question:
    """`parse_question` against a given vocabulary. Pure."""
    errors: Errors = []
    query = known_only(query, QUESTION_PARAMETERS, vocabulary, errors)
    car = read_car(query, vocabulary, errors)
    parts = vocabulary.parts if viewer.is_staff else vocabulary.public_parts
    known = {
        "part": parts,
        "location": vocabulary.locations(),
        "end": End.values,
        "duty": Duty.values,
        "technology": vocabulary.technologies,
        "include": ("job",),
    }
    chosen = {name: _several(name, query, values, errors) for name, values in known.items()}
    skipped = frozenset(query.get("skip", ()))
    for value in query.get("skip", ()):
        check_attribute(value, vocabulary, errors)
    equipment = read_equipment(query, vocabulary, errors)
    if errors:
        raise BadParameters(errors)
    return Question(
        car=car,
        skipped=skipped,
        parts=chosen["part"],
        locations=frozenset(chosen["location"]),
        ends=frozenset(chosen["end"]),
        duties=frozenset(chosen["duty"]),
        technologies=frozenset(chosen["technology"]),
        equipment=equipment,
        include_job=bool(chosen["include"]),
    )


def read_car(query: Query, vocabulary: Vocabulary, errors: Errors) -> Description:
    """The parameters that state a car; what is wrong with them is added to `errors`."""
    texts: dict[str, str] = {}
    for name in CarAttribute.values:
        value = _single(name, query, vocabulary.values[name], errors)
        if value is not None:
            texts[name] = value
    options: dict[str, bool] = {}
    components: dict[tuple[str, str], str] = {}
    for name in query:
        kind, _, rest = name.partition(".")
        if kind == "option" and rest in vocabulary.options:
            value = _single(name, query, YesNo.values, errors)
            if value is not None:
                options[rest] = value == YesNo.YES
        elif kind == "component":
            end, _, location = rest.partition(".")
            if location in vocabulary.places.get(end, ()):
                value = _single(name, query, vocabulary.components, errors)
                if value is not None:
                    components[end, location] = value
    return Description(
        **texts,
        built=tuple(_built(query, errors)),
        registered=tuple(_registered(query, errors)),
        model_years=tuple(_model_years(query, errors)),
        options=tuple(sorted(options.items())),
        components=tuple(sorted(components.items())),
    )


def known_only(query: Query, known: Iterable[str], vocabulary: Vocabulary, errors: Errors) -> dict[str, list[str]]:
    """The query without the parameters refused by name.

    Refused are those that are neither `known` nor state an option or component there is, and whatever has the
    shape of a vehicle identification number, which no message repeats.
    """
    names = list(known)
    kept: dict[str, list[str]] = {}
    for name, values in query.items():
        if has_vin_shape(name) or any(has_vin_shape(value) for value in values):
            errors.append(("query" if has_vin_shape(name) else name, VIN_REFUSED))
        elif name not in names and not _names_fact(name, vocabulary):
            errors.append((name, unknown("parameter", name, _fact_names(name, vocabulary) or names)))
        else:
            kept[name] = values
    return kept


def check_attribute(value: str, vocabulary: Vocabulary, errors: Errors) -> None:
    """Adds an error unless the value is an attribute that a question can ask for."""
    if value in SKIPPABLE or _names_fact(value, vocabulary):
        return
    errors.append(("skip", unknown("attribute", value, _fact_names(value, vocabulary) or SKIPPABLE)))


def read_equipment(query: Query, vocabulary: Vocabulary, errors: Errors) -> str | tuple[str, ...] | None:
    """`shop`, `home` or the codes of equipment, by commas; None when nothing is said."""
    values = list(dict.fromkeys(query.get("equipment", ())))
    if not values:
        return None
    if len(values) > 1:
        errors.append(("equipment", "is given twice; write one list with commas"))
        return None
    if values[0] in EquipmentSet.values:
        return values[0]
    codes = tuple(sorted({code.strip() for code in values[0].split(",")}))
    for code in codes:
        if code not in vocabulary.tools:
            errors.append(("equipment", unknown("equipment", code, {*vocabulary.tools, *EquipmentSet.values})))
    return codes


def _is_known(name: str, value: str, known: Iterable[str], errors: Errors) -> bool:
    if value in (values := frozenset(known)):
        return True
    errors.append((name, unknown(name, value, values)))
    return False


def _several(name: str, query: Query, known: Iterable[str], errors: Errors) -> tuple[str, ...]:
    """The values of a repeatable parameter, each once."""
    return tuple(value for value in dict.fromkeys(query.get(name, ())) if _is_known(name, value, known, errors))


def _single(name: str, query: Query, known: Iterable[str], errors: Errors) -> str | None:
    """The one value of a parameter that states one thing, or None."""
    values = list(dict.fromkeys(query.get(name, ())))
    good = [value for value in values if _is_known(name, value, known, errors)]
    if len(good) > 1:
        errors.append((name, f"is stated twice, as '{good[0]}' and as '{good[1]}'; state one"))
    return good[0] if good else None


def _names_fact(name: str, vocabulary: Vocabulary) -> bool:
    kind, _, rest = name.partition(".")
    if kind == "option":
        return rest in vocabulary.options
    end, _, location = rest.partition(".")
    return kind == "component" and location in vocabulary.places.get(end, ())


def _fact_names(name: str, vocabulary: Vocabulary) -> list[str]:
    """The names of option or component parameters, where the name looks like one."""
    if name.startswith("option."):
        return [f"option.{code}" for code in vocabulary.options]
    if name.startswith("component."):
        places = vocabulary.places.items()
        return [f"component.{end}.{location}" for end, locations in places for location in locations]
    return []


def _built(query: Query, errors: Errors) -> Iterable[Window]:
    for value in dict.fromkeys(query.get("built", ())):
        try:
            yield parse_range(value)
        except BadDate as error:
            errors.append(("built", f"{error}, or a range such as 2016-03..2018-07"))


def _registered(query: Query, errors: Errors) -> Iterable[date]:
    for value in dict.fromkeys(query.get("registered", ())):
        try:
            yield parse_day(value)
        except BadDate as error:
            errors.append(("registered", str(error)))


def _model_years(query: Query, errors: Errors) -> Iterable[int]:
    for value in dict.fromkeys(query.get("model_year", ())):
        if len(value) == 4 and value.isascii() and value.isdigit() and int(value) in MODEL_YEARS:
            yield int(value)
        else:
            year = shortened(value)
            errors.append(("model_year", f"'{year}' is not a model year; write four digits, such as 2018"))
