"""What a line typed into the box means: a car, a part, or what of it could not be read.

The recognisers stand in the order in which they are asked: a VIN by its shape, then a part, then a description.
"""

import re
from dataclasses import dataclass, field

from django.db.models import Q

from catalog.models import Variant
from catalog.roles import Role
from catalog.selectors.words import spoken_names
from catalog.vin import BadVin, has_vin_shape
from catalog.windows import BadDate, Window, parse_range
from fitment.box import (
    ATTRIBUTES,
    Heard,
    Lexicon,
    Reading,
    Unheard,
    combinations,
    lexicon,
    plain,
    stated_by,
    take_apart,
)
from fitment.facts.editions import kept_for_edition
from fitment.facts.vocabulary import vocabulary

from .vin import vin_decode

Query = dict[str, list[str]]
# Seventeen letters and digits in one word, among them six digits: a person's car, mistyped.
_MISTYPED_VIN = re.compile(r"(?=(?:\D*\d){6})[A-Z0-9]{17}", re.ASCII | re.IGNORECASE)
_COLUMNS = {"maker": "platform__maker__code", "chassis": "platform__chassis", "variant": "code"}


@dataclass(frozen=True, slots=True)
class Understanding:
    """What was understood.

    `part`: the text is a part's code and nothing else. `cars`: the parameters it may state; one of them, with
    nothing `unheard` and no `note`, is certain. `private`: the text named one person's car and must not be shown
    again. `problem`: why nothing was understood.
    """

    part: str | None = None
    cars: tuple[Query, ...] = ()
    heard: tuple[Heard, ...] = ()
    unheard: tuple[Unheard, ...] = ()
    note: str = ""
    problem: str = ""
    private: bool = False
    contradicts: bool = field(default=False)

    @property
    def certain_car(self) -> Query | None:
        settled = len(self.cars) == 1 and not self.unheard and not self.note
        return self.cars[0] if settled else None


def understand(*, text: str, viewer: Role) -> Understanding:
    """Read a line of the box as this viewer may."""
    if not plain(text):
        return Understanding(
            problem="Type a car or a part: a chassis code, a description, a part code or a VIN."
        )
    if has_vin_shape(text):
        return _vin(text)
    if _MISTYPED_VIN.fullmatch(text.strip()):
        problem = "This looks like a vehicle identification number, but those have no letter I, O or Q."
        return Understanding(problem=problem, private=True)
    words = _lexicon(staff=viewer.is_staff)
    alone = [reading for reading in words.entries.get(plain(text), ()) if reading.field == "part"]
    if alone:
        return Understanding(part=alone[0].value)
    return _description(text, words)


def _vin(text: str) -> Understanding:
    try:
        answer = vin_decode(text=text)
    except BadVin as fault:
        return Understanding(
            problem=f"This looks like a vehicle identification number, but {fault}.", private=True
        )
    if not answer.query:
        problem = (
            "No car maker of this catalogue has the maker identifier of this vehicle identification number."
        )
        return Understanding(problem=problem, private=True)
    note = ""
    if answer.check_digit == "wrong":
        note = "The check digit of this vehicle identification number does not agree: perhaps a typing error."
    elif not answer.variants:
        note = (
            "The maker is known, but none of its cars here has this vehicle identification number's pattern."
        )
    return Understanding(
        cars=({name: [value] for name, value in answer.query.items()},), note=note, private=True
    )


def _description(text: str, words: Lexicon) -> Understanding:
    sentence = take_apart(text, words)
    if not sentence.heard:
        return Understanding(unheard=sentence.unheard, problem="Nothing of this is known here.")
    cars = combinations(sentence.heard, _some_car_agrees)
    contradicts = not cars
    if contradicts:
        # The car's page names the fewest facts that no car meets together.
        cars = (stated_by(phrase.readings[0] for phrase in sentence.heard),)
    return Understanding(cars=cars, heard=sentence.heard, unheard=sentence.unheard, contradicts=contradicts)


def _some_car_agrees(query: Query) -> bool:
    """Whether a variant has the attributes and was built in the window; options and parts are not looked at."""
    wanted = Q()
    for name in ATTRIBUTES:
        if name in query:
            wanted &= Q(**{_COLUMNS.get(name, name): query[name][0]})
    window = Window()
    for value in query.get("built", ()):
        try:
            window = window & parse_range(value)
        except BadDate:
            continue
    if window.last is not None:
        wanted &= Q(built_from__lte=window.last)
    if window.first is not None:
        wanted &= Q(built_to__isnull=True) | Q(built_to__gte=window.first)
    return Variant.objects.filter(wanted).exists()


@kept_for_edition(entries=2)
def _lexicon(*, staff: bool) -> Lexicon:
    known, names = vocabulary(), spoken_names()
    spoken = [
        (value, Reading(attribute, value))
        for attribute in ATTRIBUTES
        for value in sorted(known.values[attribute])
    ]
    spoken += [(title, Reading("maker", code)) for code, title in names.makers]
    spoken += [(title, Reading("chassis", chassis)) for chassis, title in names.platforms if title]
    spoken += [
        (phrase, Reading(f"option.{code}", "yes"))
        for code, title in names.options
        for phrase in (code, title, title.partition(",")[0])
    ]
    spoken += [(code, Reading("part", code)) for code in sorted(known.parts if staff else known.public_parts)]
    return lexicon(spoken)
