"""The answers and job minutes that change, as a check, an edition and a preview show them: by axle, location and part,
before and after, sought, a page at a time."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.forms import SearchInput
from django.http import HttpRequest, HttpResponse

from catalog.workbook.report import CHANGE_HEADS, change_rows
from fitment.pages.catalogue.shared import Page, page_of, paged
from fitment.pages.shared.addresses import address
from fitment.pages.shared.csv_files import csv_file
from fitment.pages.shared.forms import PageForm
from fitment.readers.vocabulary import names
from fitment.text.catalogue import CHANGE_KINDS, answer_words, job_minutes_words

LINES_A_PAGE = 60
MOST_VARIANTS = 120  # named at one line; the file to download names them all
_RANKS = {"fits": 2, "depends": 1}
# Beside the columns of the row a preview takes what is sought in it; no column has a hyphen in its name.
_SOUGHT, _PAGE = "sought-", "-page"

CarsChange = Mapping[str, Any]
"""An answer or minutes that change, as a report or the history holds it."""


@dataclass(frozen=True, slots=True)
class ChangeSide:
    """One side of a change: the verdict's code (`none`: not listed), and its words."""

    verdict: str
    word: str
    revision: str = ""
    basis: str = ""


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """A part at a place: before and after, the variants by code and address; `more` of them are not named."""

    part: str
    before: ChangeSide
    after: ChangeSide
    variants: tuple[tuple[str, str], ...]
    count: int
    in_operation: int

    @property
    def more(self) -> int:
        return self.count - len(self.variants)


@dataclass(frozen=True, slots=True)
class PlaceChanges:
    """The changes at one place of an axle."""

    axle: str
    end: str
    location: str
    title: str
    lines: list[ChangeLine]


@dataclass(frozen=True, slots=True)
class Touched:
    """How many answers (or minutes) change, and the variants and cars in operation they touch, each counted once.

    `lost` and `won` count answers. `in_operation` None: editions made before it was kept do not tell.
    """

    changes: int
    variants: int
    in_operation: int | None
    lost: int = 0
    won: int = 0


def touched(changes: Sequence[CarsChange], reach: Mapping[str, int], *, minutes: bool = False) -> Touched:
    """The figures above changes; `reach` as the report has it."""
    kinds = [] if minutes else [kind_of(change) for change in changes]
    variants = {code for change in changes for code in change["variants"]}
    return Touched(
        len(changes), len(variants), reach.get("in_operation"), lost=kinds.count("lost"), won=kinds.count("won")
    )


def kind_of(change: CarsChange) -> str:
    """Whether a part fits less (`lost`) or more (`won`) than before, or only how it is known changes.

    >>> kind_of({"before": {"verdict": "fits"}, "after": None})
    'lost'
    """
    before, after = (_RANKS.get((change[side] or {}).get("verdict", ""), 0) for side in ("before", "after"))
    if before == after:
        return "other"
    return "lost" if after < before else "won"


def by_place(
    changes: Sequence[CarsChange], titles: Mapping[tuple[str, str], str], *, minutes: bool = False
) -> list[PlaceChanges]:
    """The changes grouped by place; they come in the order of places. `titles` of locations by end and code."""
    side = _minutes_side if minutes else _answer_side
    found = []
    for (axle, end, location), several in groupby(changes, key=lambda one: (one["axle"], one["end"], one["location"])):
        lines = []
        for change in several:
            codes = change["variants"]
            variants = tuple((code, address("/car/", {"variant": [code]})) for code in codes[:MOST_VARIANTS])
            before, after = side(change["before"]), side(change["after"])
            lines.append(ChangeLine(change["part"], before, after, variants, len(codes), change["in_operation"]))
        found.append(PlaceChanges(axle or "", end or "", location or "", titles.get((end, location), ""), lines))
    return found


def _answer_side(answer: CarsChange | None) -> ChangeSide:
    word, basis = answer_words(answer)
    if answer is None:
        return ChangeSide("none", word)
    return ChangeSide(answer["verdict"], word, answer.get("revision") or "", basis)


def _minutes_side(minutes: float | None) -> ChangeSide:
    return ChangeSide("", job_minutes_words(minutes))


def changed(
    request: HttpRequest,
    answers: Sequence[CarsChange],
    minutes: Sequence[CarsChange],
    reach: Mapping[str, Any],
    *,
    by_post: bool = False,
) -> dict[str, Any]:
    """All that `catalogue/changed.html` shows; what is sought and the pages stand in the address, or are posted.

    `reach` by `answers` and `minutes` as a report has it.
    """
    given, prefix = (request.POST, _SOUGHT) if by_post else (request.GET, "")
    words, kind = given.get(f"{prefix}q", ""), given.get(f"{prefix}kind", "")
    kind = kind if kind in dict(CHANGE_KINDS) else ""
    titles = names().locations

    def shown(changes: Sequence[CarsChange], name: str, kind: str = "") -> Page:
        rows = _matching(changes, words, kind)
        if by_post:
            page = page_of(rows, LINES_A_PAGE, given.get(f"{name}{_PAGE}"))
        else:
            page = paged(request, rows, LINES_A_PAGE, name=name, at=name)
        return {**page, "groups": by_place(page["rows"], titles, minutes=name == "minutes")}

    return {
        "touched": touched(answers, reach.get("answers", {})),
        "answers": shown(answers, "answers", kind),
        "minutes_touched": touched(minutes, reach.get("minutes", {}), minutes=True),
        "minutes": shown(minutes, "minutes"),
        "search": _search_form(prefix, words, kind),
        "searched": bool(words or kind),
        "by_post": by_post,
    }


def _search_form(prefix: str, words: str, kind: str) -> PageForm:
    form = PageForm(initial={f"{prefix}q": words, f"{prefix}kind": kind})
    form.add(f"{prefix}q", "Find", help_text="An axle, a location, a part or a variant.")
    form.fields[f"{prefix}q"].widget = SearchInput({"autocomplete": "off"})
    form.add(f"{prefix}kind", "Which answers", choices=CHANGE_KINDS, empty="all")
    return form


def _matching(changes: Iterable[CarsChange], words: str, kind: str = "") -> list[CarsChange]:
    """The changes in whose axle, location, part or variants every word stands; of one kind where named."""
    wanted = words.casefold().split()
    return [
        change
        for change in changes
        if (not kind or kind_of(change) == kind) and all(word in _text(change) for word in wanted)
    ]


def _text(change: CarsChange) -> str:
    named = (change["axle"], change["end"], change["location"], change["part"], *change["variants"])
    return " ".join(name for name in named if name).casefold()


def changes_file(name: str, answers: Iterable[CarsChange], minutes: Iterable[CarsChange]) -> HttpResponse:
    """Every answer and every job's minutes that change, with all the variants."""
    return csv_file(name, CHANGE_HEADS, change_rows(answers, minutes))
