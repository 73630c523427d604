"""Answers that change, as the editor reads them: by axle, location and part, before and after. Pure."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from catalog.codes import Basis, Verdict
from fitment.pages.shared.addresses import address
from fitment.text.fit import basis_label, verdict_words

MOST_VARIANTS = 120  # named at one line; the file to download names them all
KINDS = (
    ("lost", "fits less than before"),
    ("won", "fits more than before"),
    ("other", "only revision or evidence changes"),
)
_RANKS = {"fits": 2, "depends": 1}

Answer = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Said:
    """One side of a change: the verdict's code (`none`: not listed), and its words."""

    verdict: str
    word: str
    revision: str = ""
    basis: str = ""


@dataclass(frozen=True, slots=True)
class AnswerLine:
    part: str
    before: Said
    after: Said
    variants: tuple[tuple[str, str], ...]
    count: int
    in_operation: int

    @property
    def more(self) -> int:
        """How many variants are not named."""
        return self.count - len(self.variants)


@dataclass(frozen=True, slots=True)
class PlaceLines:
    """The changes at one place of an axle."""

    axle: str
    end: str
    location: str
    title: str
    lines: list[AnswerLine]


def said(answer: Answer | None) -> Said:
    """One side of a change in words.

    >>> said({"verdict": "fits", "revision": "B", "basis": "fitted"})
    Said(verdict='fits', word='Fits', revision='B', basis='tried on this car')
    """
    if answer is None:
        return Said("none", "Not listed")
    basis = answer.get("basis")
    return Said(
        answer["verdict"],
        verdict_words(Verdict(answer["verdict"])),
        answer.get("revision") or "",
        basis_label(Basis(basis)) if basis else "",
    )


def said_minutes(minutes: float | None) -> Said:
    return Said("", "No job" if minutes is None else f"{minutes:.0f} min")


def kind_of(change: Answer) -> str:
    """Whether a part fits less (`lost`) or more (`won`) than before, or only how it is known changes.

    >>> kind_of({"before": {"verdict": "fits"}, "after": None})
    'lost'
    """
    before, after = ((change[side] or {}).get("verdict", "") for side in ("before", "after"))
    was, becomes = _RANKS.get(before, 0), _RANKS.get(after, 0)
    if was == becomes:
        return "other"
    return "lost" if becomes < was else "won"


def matching(changes: Iterable[Answer], words: str, kind: str = "") -> list[Answer]:
    """The changes in whose axle, location, part or variants every word stands; of one kind where named."""
    wanted = words.casefold().split()
    return [
        change
        for change in changes
        if (not kind or kind_of(change) == kind) and all(word in _text(change) for word in wanted)
    ]


def _text(change: Answer) -> str:
    named = (change["axle"], change["end"], change["location"], change["part"], *change["variants"])
    return " ".join(name for name in named if name).casefold()


def by_place(
    changes: Sequence[Answer], titles: Mapping[tuple[str, str], str], *, minutes: bool = False
) -> list[PlaceLines]:
    """The changes grouped by place; they come in the order of places. `titles` of locations by end and code."""
    in_words = said_minutes if minutes else said
    found = []
    for (axle, end, location), several in groupby(changes, key=lambda one: (one["axle"], one["end"], one["location"])):
        lines = [
            AnswerLine(
                change["part"], in_words(change["before"]), in_words(change["after"]),
                tuple((code, address("/car/", {"variant": [code]})) for code in change["variants"][:MOST_VARIANTS]),
                len(change["variants"]), change["in_operation"],
            )
            for change in several
        ]  # fmt: skip
        found.append(PlaceLines(axle or "", end or "", location or "", titles.get((end, location), ""), lines))
    return found


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


def touched(changes: Sequence[Answer], reach: Mapping[str, int], *, minutes: bool = False) -> Touched:
    """The figures above changes; `reach` as the report has it."""
    kinds = [] if minutes else [kind_of(change) for change in changes]
    variants = {code for change in changes for code in change["variants"]}
    return Touched(
        len(changes), len(variants), reach.get("in_operation"), lost=kinds.count("lost"), won=kinds.count("won")
    )
