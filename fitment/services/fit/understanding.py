"""What a line typed into the box means: a car, a part, a number, a stamp, or what of it could not be read.

The recognisers are asked in this order: a VIN by its shape, then a part, a stamp, a number, a description. All but
the first are asked even where one before them answered, so that a line of several meanings is never read as one.
"""

import re
from dataclasses import dataclass, field, replace

from django.db.models import Q

from catalog.codes import Role
from catalog.models import Number, Variant
from catalog.numbers import normal_form
from catalog.selectors.numbers import issuers_of, number_chain
from catalog.selectors.titles import spoken_names
from catalog.selectors.visible import visible_numbers, visible_revisions
from catalog.stamps import letter_order, parse_stamp
from catalog.vin import BadVin, has_vin_shape
from catalog.windows import BadDate, Window, parse_range
from fitment.query.text_parser import (
    ATTRIBUTES,
    Heard,
    Lexicon,
    Reading,
    Unheard,
    combinations,
    lexicon,
    parse_text,
    plain,
    stated_by,
)
from fitment.readers.editions import kept_for_edition
from fitment.readers.vocabulary import vocabulary
from fitment.services.fit.vin import vin_decode
from fitment.services.lookup.numbers import is_stamp

Query = dict[str, list[str]]
# Seventeen letters and digits in one word, among them six digits: a person's car, mistyped.
_MISTYPED_VIN = re.compile(r"(?=(?:\D*\d){6})[A-Z0-9]{17}", re.ASCII | re.IGNORECASE)
# A text with fewer signs is a mistyped word, with more words a sentence.
LEAST_SIGNS, MOST_WORDS = 5, 5
_COLUMNS = {"maker": "platform__maker__code", "chassis": "platform__chassis", "variant": "code"}


@dataclass(frozen=True, slots=True)
class Understanding:
    """What was understood.

    `part`: the text is a part's code and nothing else. `number`: it is a stamp or a number known here, and nothing
    else. `looks_like_number`: nothing of it is known, and it may be a number. `numbers`: known numbers among its
    words. `cars`: the parameters it may state; one of them, with nothing `unheard` and no `note`, is certain.
    `private`: the text named one person's car and must not be shown again. `problem`: why nothing was understood.
    """

    part: str | None = None
    number: str | None = None
    looks_like_number: bool = False
    numbers: tuple[str, ...] = ()
    stamps: tuple[str, ...] = ()
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

    @property
    def several(self) -> bool:
        """Whether the whole text has meanings of more than one kind."""
        read = bool(self.cars) and not self.unheard and not self.contradicts
        return sum((self.part is not None, self.number is not None, read)) > 1


def understand(*, text: str, viewer: Role) -> Understanding:
    """Read a line of the box as this viewer may."""
    if not plain(text):
        return Understanding(
            problem="Type a chassis code, a description of a car, a part code, a number, a stamp or a VIN."
        )
    if has_vin_shape(text):
        return _vin(text)
    number = text.strip() if _is_stamp_or_number(text, viewer) else None
    if number is None and _MISTYPED_VIN.fullmatch(text.strip()):
        problem = "This looks like a vehicle identification number, but those have no letter I, O or Q."
        return Understanding(problem=problem, private=True)
    words = _lexicon(staff=viewer.is_staff)
    part = next((reading.value for reading in words.entries.get(plain(text), ()) if reading.field == "part"), None)
    if part is not None and number is not None and _is_number_of(part, number):
        number = None
    described = _description(text, words)
    if part is not None:
        # A part's code alone is no description of a car.
        others = tuple(query for query in described.cars if set(query) != {"part"})
        described = replace(described, cars=others)
    if part is not None or number is not None:
        if described.unheard or described.contradicts:
            described = Understanding()
        return replace(described, part=part, number=number, problem="")
    if described.unheard and not described.heard:
        return replace(described, looks_like_number=looks_like_number(text), stamps=_stamps_like(text, viewer))
    return replace(described, numbers=_numbers_among(text, viewer) if described.unheard else ())


def looks_like_number(text: str) -> bool:
    """Whether a text has the look of a part number: five signs or more, a third of them figures, in few words.

    >>> looks_like_number("TH 77.31-404"), looks_like_number("front wishbone bush"), looks_like_number("qn9")
    (True, False, False)
    """
    form = normal_form(text)
    few = len(text.split()) <= MOST_WORDS
    return few and len(form) >= LEAST_SIGNS and 3 * sum(sign.isdecimal() for sign in form) >= len(form)


def _is_stamp_or_number(text: str, viewer: Role) -> bool:
    if is_stamp(text, viewer):
        return True
    form = normal_form(text)
    return any(number_chain(issuer=issuer, normal=form, viewer=viewer) for issuer in issuers_of(form))


def _is_number_of(part: str, number: str) -> bool:
    """Whether everything the number stands for is the part itself."""
    rows = Number.objects.filter(normal=normal_form(number)).values_list("part__code", flat=True)
    return set(rows) == {part}


def _stamps_like(text: str, viewer: Role) -> tuple[str, ...]:
    """For a stamp that names a part of ours but no revision of it: the stamps it may be."""
    stamp = parse_stamp(text)
    if stamp is None:
        return ()
    rows = visible_revisions(viewer).filter(part__code__iexact=stamp.part).values_list("part__code", "letter")
    letters = sorted(rows, key=lambda row: letter_order(row[1]))
    return tuple(f"{part}-{letter} {stamp.batch}".rstrip() for part, letter in letters)


def _numbers_among(text: str, viewer: Role) -> tuple[str, ...]:
    """Numbers known here among the words of a text, as they were typed (one query)."""
    words = text.split()
    runs = {
        normal_form(run): run
        for first in range(len(words))
        for last in range(first + 1, min(first + MOST_WORDS, len(words)) + 1)
        if looks_like_number(run := " ".join(words[first:last]))
    }
    known = set(visible_numbers(viewer).filter(normal__in=runs).values_list("normal", flat=True))
    return tuple(run for form, run in runs.items() if form in known)


def _vin(text: str) -> Understanding:
    try:
        answer = vin_decode(text=text)
    except BadVin as fault:
        return Understanding(problem=f"This looks like a vehicle identification number, but {fault}.", private=True)
    if not answer.query:
        problem = "No car maker of this catalogue has the maker identifier of this vehicle identification number."
        return Understanding(problem=problem, private=True)
    note = ""
    if answer.check_digit == "wrong":
        note = "The check digit of this vehicle identification number does not agree: perhaps a typing error."
    elif not answer.variants:
        note = "The maker is known, but none of its cars here has this vehicle identification number's pattern."
    return Understanding(cars=({name: [value] for name, value in answer.query.items()},), note=note, private=True)


def _description(text: str, words: Lexicon) -> Understanding:
    sentence = parse_text(text, words)
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
        (value, Reading(attribute, value)) for attribute in ATTRIBUTES for value in sorted(known.values[attribute])
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
