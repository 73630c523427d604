"""What the box says it understood of a text, what it did not, and where each meaning leads."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from fitment.pages.shared.addresses import Query, address, number_address
from fitment.query.text_parser import Reading
from fitment.readers.vocabulary import names
from fitment.services.fit.understanding import Understanding
from fitment.text.lookup import go_on_words, reading_title

LONGEST_TEXT = 200


@dataclass(frozen=True, slots=True)
class PhraseView:
    """A phrase and what it means (`meanings`), or the texts to ask instead (`instead`: text, label)."""

    text: str
    meanings: tuple[str, ...] = ()
    instead: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class MeaningLink:
    """One meaning of the whole text."""

    href: str
    label: str


@dataclass(frozen=True, slots=True)
class UnderstoodView:
    title: str
    note: str
    heard: tuple[PhraseView, ...]
    unheard: tuple[PhraseView, ...]
    offers: tuple[MeaningLink, ...]


def _car_page(query: dict[str, list[str]]) -> str:
    return address("/car/", query)


def understood_view(
    understood: Understanding, text: str, *, car_address: Callable[[dict[str, list[str]]], str] = _car_page
) -> UnderstoodView:
    """The account of a text that was not understood for certain; `car_address`: where a car leads."""
    several = len(understood.cars) > 1 or understood.several
    without = " and ".join(f"'{word.text}'" for word in understood.unheard)
    cars = [
        MeaningLink(car_address(query), go_on_words(_facts(query) if several else (), without))
        for query in understood.cars
    ]
    return UnderstoodView(
        title=reading_title(
            text, no_stamp=bool(understood.stamps), problem=understood.problem, without=without, several=several
        ),
        note=understood.note,
        heard=tuple(
            PhraseView(phrase.text, tuple(dict.fromkeys(map(_meaning, phrase.readings)))) for phrase in understood.heard
        ),
        unheard=tuple(
            PhraseView(word.text, instead=tuple(_instead(text, word.text, word.nearest))) for word in understood.unheard
        ),
        offers=(*_other_meanings(understood, text), *cars),
    )


def _other_meanings(understood: Understanding, text: str) -> Iterable[MeaningLink]:
    """What the text may mean besides a car: a part, a number, a stamp, numbers among its words."""
    if understood.part is not None:
        yield MeaningLink(f"/part/{understood.part}/", f"Our part {understood.part}")
    if understood.number is not None:
        yield MeaningLink(number_address(understood.number), f"The number {understood.number}")
    yield from (MeaningLink(number_address(stamp), f"The stamp {stamp}") for stamp in understood.stamps)
    yield from (MeaningLink(number_address(number), f"The number {number}") for number in understood.numbers)
    if understood.looks_like_number:
        yield MeaningLink(number_address(text), f"Look '{text}' up as a number")


def _meaning(reading: Reading) -> str:
    return names().fact(reading.field, reading.value)


def _instead(text: str, word: str, nearest: Iterable[Reading]) -> Iterable[tuple[str, str]]:
    for reading in nearest:
        value = reading.field.partition(".")[2] if reading.field.startswith("option.") else reading.value
        yield text.replace(word, value, 1), f"{value} ({_meaning(reading)})"


def _facts(query: Query) -> list[str]:
    return [names().fact(name, value) for name, values in query.items() for value in values]
