"""What the box says it understood, and what it did not."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from fitment.pages.number.match import number_address
from fitment.pages.shared.addresses import Query, address
from fitment.query.text_parser import Reading
from fitment.readers.names import names
from fitment.services.fit.understanding import Understanding


@dataclass(frozen=True, slots=True)
class Word:
    """A phrase and what it means (`meanings`), or the texts to ask instead (`instead`: text, label)."""

    text: str
    meanings: tuple[str, ...] = ()
    instead: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Offer:
    href: str
    label: str


@dataclass(frozen=True, slots=True)
class Hearing:
    title: str
    note: str
    heard: tuple[Word, ...]
    unheard: tuple[Word, ...]
    offers: tuple[Offer, ...]


def _car_address(query: dict[str, list[str]]) -> str:
    return address("/car/", query)


def hearing(
    understood: Understanding, text: str, *, car_address: Callable[[dict[str, list[str]]], str] = _car_address
) -> Hearing:
    """The page's account of a text that was not understood for certain; `car_address`: where a car leads."""
    several = len(understood.cars) > 1 or understood.several
    without = " and ".join(f"'{word.text}'" for word in understood.unheard)
    offers = (
        *_other_offers(understood, text),
        *(
            Offer(car_address(query), _offer_words(query, several=several, without=without))
            for query in understood.cars
        ),
    )
    if understood.stamps:
        title = f"'{text}' names no revision of this part"
    elif understood.problem:
        title = understood.problem
    elif understood.unheard:
        title = f"Not understood: {without}"
    elif several:
        title = "This can be read in more than one way"
    else:
        title = "Please check"
    return Hearing(
        title=title,
        note=understood.note,
        heard=tuple(
            Word(phrase.text, tuple(dict.fromkeys(map(_meaning, phrase.readings)))) for phrase in understood.heard
        ),
        unheard=tuple(
            Word(word.text, instead=tuple(_instead(text, word.text, word.nearest))) for word in understood.unheard
        ),
        offers=offers,
    )


def _other_offers(understood: Understanding, text: str) -> Iterable[Offer]:
    """What the text may mean besides a car: a part, a number, a stamp, numbers among its words."""
    if understood.part is not None:
        yield Offer(f"/part/{understood.part}/", f"Our part {understood.part}")
    if understood.number is not None:
        yield Offer(number_address(understood.number), f"The number {understood.number}")
    yield from (Offer(number_address(stamp), f"The stamp {stamp}") for stamp in understood.stamps)
    yield from (Offer(number_address(number), f"The number {number}") for number in understood.numbers)
    if understood.looks_like_number:
        yield Offer(number_address(text), f"Look '{text}' up as a number")


def _meaning(reading: Reading) -> str:
    return names().fact(reading.field, reading.value)


def _instead(text: str, word: str, nearest: Iterable[Reading]) -> Iterable[tuple[str, str]]:
    for reading in nearest:
        said = reading.field.partition(".")[2] if reading.field.startswith("option.") else reading.value
        yield text.replace(word, said, 1), f"{said} ({_meaning(reading)})"


def _offer_words(query: Query, *, several: bool, without: str) -> str:
    if several:
        words = ", ".join(names().fact(name, value) for name, values in query.items() for value in values)
        return words[:1].upper() + words[1:]
    return f"Go on without {without}" if without else "Go on with this car"
