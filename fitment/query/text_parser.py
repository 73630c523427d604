"""What a line of text says of a car: words in any order and spelling -> parameters of a question. Pure.

Every word is either read, for certain or in several ways, or reported with the nearest words known. No word is
passed over in silence but those of `NOISE`, since a word dropped widens the car.
"""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import product

from rapidfuzz import fuzz, process

from catalog.codes import CarAttribute
from catalog.numbers import normal_form

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FIRST_YEAR, _LAST_YEAR = 1950, 2099
_DAY = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})", re.ASCII)
_ISO_DAY = re.compile(r"(\d{4})[./-](\d{1,2})[./-](\d{1,2})", re.ASCII)
_MONTH = re.compile(r"(\d{1,2})[./-](\d{4}|\d{2})", re.ASCII)
_ISO_MONTH = re.compile(r"(\d{4})[./-](\d{1,2})", re.ASCII)
_YEAR = re.compile(r"\d{4}", re.ASCII)
_YEARS = re.compile(r"(\d{4})(?:-|\u2013|\.\.)(\d{4})", re.ASCII)
_RANGE = re.compile(r"([\d-]*)\.\.([\d-]*)", re.ASCII)
_MODEL_YEAR = re.compile(r"my\s*'?(\d{4}|\d{2})|model\s*year\s*(\d{4})", re.ASCII | re.IGNORECASE)
_REGISTERED = re.compile(r"reg(?:istered)?(?:\s+on)?\s+(\S+)", re.IGNORECASE)
_NAMED = re.compile(r"([a-z]+)\.?\s+(\d{4})|(\d{4})\s+([a-z]+)\.?", re.ASCII | re.IGNORECASE)
_IN = re.compile(r"^(?:built|made|build)(?:\s+in)?\s+", re.IGNORECASE)


def dates_in(words: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Every way to read words as a date: the parameter (`built`, `registered`, `model_year`) and its value.

    '3/4/2018' is the third of April or the fourth of March: both are given. Two digits of a year are of this century.

    >>> list(dates_in(["May", "2018"])), list(dates_in(["05/2018"])), list(dates_in(["MY18"]))
    ([('built', '2018-05')], [('built', '2018-05')], [('model_year', '2018')])
    """
    text = _IN.sub("", " ".join(words))
    if match := _MODEL_YEAR.fullmatch(text):
        yield "model_year", str(_century(match[1] or match[2]))
        return
    if match := _REGISTERED.fullmatch(text):
        yield from (("registered", day) for day in _days(match[1]))
        return
    yield from (("built", value) for value in dict.fromkeys((*_days(text), *_months(text), *_spans(text))))


def _days(text: str) -> Iterator[str]:
    if match := _ISO_DAY.fullmatch(text):
        yield from _day(match[1], match[2], match[3])
    elif match := _DAY.fullmatch(text):
        yield from _day(match[3], match[2], match[1])
        yield from _day(match[3], match[1], match[2])


def _day(year: str, month: str, day: str) -> Iterator[str]:
    try:
        yield date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        return


def _months(text: str) -> Iterator[str]:
    year = month = ""
    if match := _ISO_MONTH.fullmatch(text):
        year, month = match[1], match[2]
    elif match := _MONTH.fullmatch(text):
        month, year = match[1], match[2]
    elif match := _NAMED.fullmatch(text):
        year, name = (match[2], match[1]) if match[1] else (match[3], match[4])
        month = _named_month(name)
    if month and 1 <= int(month) <= 12 and _FIRST_YEAR <= _century(year) <= _LAST_YEAR:
        yield f"{_century(year):04d}-{int(month):02d}"


def _named_month(name: str) -> str:
    """The number of a month named by three letters or more of its English name, or nothing."""
    full = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ]
    short = name.lower()
    for number, (three, whole) in enumerate(zip(_MONTHS, full, strict=True), start=1):
        if short.startswith(three) and (whole.startswith(short) or short == "sept"):
            return str(number)
    return ""


def _spans(text: str) -> Iterator[str]:
    if _YEAR.fullmatch(text) and _FIRST_YEAR <= int(text) <= _LAST_YEAR:
        yield text
    elif match := _YEARS.fullmatch(text):
        if _FIRST_YEAR <= int(match[1]) <= int(match[2]) <= _LAST_YEAR:
            yield f"{match[1]}..{match[2]}"
    elif (match := _RANGE.fullmatch(text)) and (match[1] or match[2]):
        yield text


def _century(digits: str) -> int:
    return int(digits) if len(digits) == 4 else 2000 + int(digits)


LONGEST_PHRASE = 5
MOST_COMBINATIONS = 256
NEAREST_SCORE = 70
ATTRIBUTES = tuple(CarAttribute.values)
NOISE = frozenset(
    ("A", "AN", "THE", "CAR", "WITH", "AND", "OF", "IN", "BUILT", "MADE", "MY", "FOR", "HAS", "IS", "YEAR", "MONTH")
)
NEGATIONS = frozenset(("NO", "WITHOUT", "NOT"))
# Words of the trade for one thing; whichever of a group the catalogue uses, the others are read as it.
SYNONYMS: Mapping[str, tuple[frozenset[str], ...]] = {
    "body": (
        frozenset(("SALOON", "SEDAN", "NOTCHBACK")),
        frozenset(("ESTATE", "WAGON", "STATIONWAGON", "KOMBI")),
        frozenset(("HATCHBACK", "HATCH")),
        frozenset(("CONVERTIBLE", "CABRIOLET", "CABRIO")),
        frozenset(("COUPE", "COUPÉ")),
        frozenset(("PICKUP", "PICKUPTRUCK")),
    ),
    "drivetrain": (
        frozenset(("AWD", "4WD", "4X4", "ALLWHEELDRIVE", "FOURWHEELDRIVE")),
        frozenset(("RWD", "REARWHEELDRIVE", "REARDRIVE")),
        frozenset(("FWD", "FRONTWHEELDRIVE", "FRONTDRIVE")),
    ),
    "steering": (
        frozenset(("LEFT", "LHD", "LEFTHANDDRIVE", "LEFTHAND")),
        frozenset(("RIGHT", "RHD", "RIGHTHANDDRIVE", "RIGHTHAND")),
    ),
    "market": (
        frozenset(("UK", "GB", "UNITEDKINGDOM", "BRITAIN")),
        frozenset(("EU", "EUROPE", "EUROPEAN")),
        frozenset(("US", "USA", "UNITEDSTATES")),
        frozenset(("AU", "AUS", "AUSTRALIA")),
        frozenset(("JP", "JAPAN")),
    ),
}
_SEPARATORS = re.compile(r"[\s,;]+")
_PIECES = re.compile(r"[^\w.]+|_+", re.UNICODE)


@dataclass(frozen=True, slots=True)
class Reading:
    """One meaning of a phrase: a parameter of the question and its value."""

    field: str
    value: str


@dataclass(frozen=True, slots=True)
class Heard:
    """A phrase as typed, and everything it may mean."""

    text: str
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class Unheard:
    """A word that means nothing here, and what the nearest known words mean."""

    text: str
    nearest: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Normal forms of words and phrases -> what they mean."""

    entries: Mapping[str, tuple[Reading, ...]]


@dataclass(frozen=True, slots=True)
class Sentence:
    """A text taken apart: `heard` and `unheard` in the order of the text."""

    heard: tuple[Heard, ...]
    unheard: tuple[Unheard, ...]


def plain(text: str) -> str:
    """The normal form without accents: how words are compared.

    >>> plain("Coupé"), plain("ride_low")
    ('COUPE', 'RIDELOW')
    """
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", text) if not unicodedata.combining(sign))
    return normal_form(bare)


def lexicon(spoken: Iterable[tuple[str, Reading]]) -> Lexicon:
    """A lexicon of phrases with their meanings, widened by the trade's synonyms."""
    entries: dict[str, list[Reading]] = {}

    def add(form: str, reading: Reading) -> None:
        if form and reading not in entries.setdefault(form, []):
            entries[form].append(reading)

    for phrase, reading in spoken:
        form = plain(phrase)
        add(form, reading)
        for group in SYNONYMS.get(reading.field, ()):
            if form in {plain(word) for word in group}:
                for word in sorted(group):
                    add(plain(word), reading)
    return Lexicon({form: tuple(readings) for form, readings in entries.items()})


def parse_text(text: str, known: Lexicon) -> Sentence:
    """Read a text word by word, longest phrases first.

    >>> words = lexicon([("QN4", Reading("chassis", "QN4")), ("estate", Reading("body", "estate"))])
    >>> sentence = parse_text("qn4 WAGON 05/2018 blue", words)
    >>> [(heard.text, heard.readings[0].value) for heard in sentence.heard]
    [('qn4', 'QN4'), ('WAGON', 'estate'), ('05/2018', '2018-05')]
    >>> [word.text for word in sentence.unheard]
    ['blue']
    """
    words = [word for word in _SEPARATORS.split(text.strip()) if plain(word)]
    heard: list[Heard] = []
    unheard: list[Unheard] = []
    wanted: str | None = None  # the attribute that the word before named: 'engine 25'
    absent = False
    at = 0
    while at < len(words):
        length, readings = _longest(words, at, known)
        typed = " ".join(words[at : at + length])
        form = plain(typed)
        if not readings:
            if form in NEGATIONS:
                absent = True
            elif form.lower() in ATTRIBUTES:
                wanted = form.lower()
            elif form not in NOISE:
                pieces = _pieces(typed, known)
                heard += pieces
                if not pieces:
                    unheard.append(Unheard(f"no {typed}" if absent else typed, _nearest(form, known)))
                wanted, absent = None, False
        else:
            kept = tuple(reading for reading in readings if reading.field == wanted) or readings
            if not absent:
                heard.append(Heard(typed, kept))
            elif negated := _negated(kept):
                heard.append(Heard(f"no {typed}", negated))
            else:
                unheard.append(Unheard(f"no {typed}"))
            wanted, absent = None, False
        at += length
    return Sentence(tuple(heard), tuple(unheard))


def combinations(
    heard: Sequence[Heard], agrees: Callable[[dict[str, list[str]]], bool]
) -> tuple[dict[str, list[str]], ...]:
    """The parameters that the phrases may state together, without those that no car agrees with.

    More than one: the text is ambiguous. None: what it says contradicts itself. At most MOST_COMBINATIONS are
    tried, so a text of many ambiguous words may be read less sharply, never wrongly: all that are left are offered.
    """
    found: list[dict[str, list[str]]] = []
    for number, choice in enumerate(product(*(phrase.readings for phrase in heard))):
        if number >= MOST_COMBINATIONS:
            break
        query = _merged(choice)
        if query is not None and query not in found and agrees(query):
            found.append(query)
    return tuple(found)


def stated_by(choice: Iterable[Reading]) -> dict[str, list[str]]:
    """Readings as query parameters, contradictions and all."""
    query: dict[str, list[str]] = {}
    for reading in choice:
        if reading.value not in query.setdefault(reading.field, []):
            query[reading.field].append(reading.value)
    return query


def _merged(choice: Iterable[Reading]) -> dict[str, list[str]] | None:
    query = stated_by(choice)
    single = (name for name in query if name in ATTRIBUTES or name.startswith("option."))
    return None if any(len(query[name]) > 1 for name in single) else query


def _longest(words: Sequence[str], at: int, known: Lexicon) -> tuple[int, tuple[Reading, ...]]:
    for length in range(min(LONGEST_PHRASE, len(words) - at), 0, -1):
        phrase = words[at : at + length]
        dates = tuple(Reading(field, value) for field, value in dates_in(phrase))
        readings = dates + known.entries.get(plain(" ".join(phrase)), ())
        if readings:
            return length, readings
    return 1, ()


def _pieces(word: str, known: Lexicon) -> list[Heard]:
    """A word that is several written together ('qn4-25', 'qn425'), where every piece is known."""
    for pieces in _splits(word):
        readings = [known.entries.get(plain(piece), ()) for piece in pieces]
        if all(readings):
            return [Heard(piece, found) for piece, found in zip(pieces, readings, strict=True)]
    return []


def _splits(word: str) -> Iterator[list[str]]:
    pieces = [piece for piece in _PIECES.split(word) if piece]
    if len(pieces) > 1:
        yield pieces
    for cut in range(2, len(word) - 1):
        yield [word[:cut], word[cut:]]


def _negated(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """'No tow bar' states the option's absence; of anything else a negation cannot be stated."""
    return tuple(Reading(reading.field, "no") for reading in readings if reading.field.startswith("option."))


def _nearest(form: str, known: Lexicon) -> tuple[Reading, ...]:
    if len(form) < 3:
        return ()
    found = process.extract(form, known.entries.keys(), scorer=fuzz.ratio, score_cutoff=NEAREST_SCORE, limit=3)
    return tuple(dict.fromkeys(reading for near, _, _ in found for reading in known.entries[near]))[:4]
