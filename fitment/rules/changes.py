"""The bare answers of a car known by its variant, and how they differ before and after a change. Pure."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from catalog.codes import Basis, Verdict
from fitment.domain.description import Question
from fitment.domain.facts import Part, Place, Revision
from fitment.rules.answer import known_by
from fitment.rules.case import Case
from fitment.rules.listing import listed
from fitment.rules.places import look_at_places
from fitment.rules.possible_cars import Rooms
from fitment.rules.verdict import judge, reasons_of

Cell = tuple[Place, str]
"""A place and the code of a part."""


@dataclass(frozen=True, slots=True)
class Bare:
    """Verdict, revision and basis; `part` and `named` are the facts behind them, not compared."""

    verdict: Verdict
    revision: str | None
    basis: Basis | None

    def as_json(self) -> dict[str, str | None]:
        return {"verdict": self.verdict, "revision": self.revision, "basis": self.basis}


@dataclass(frozen=True, slots=True)
class Standing:
    """A bare answer with the part and the revision it names, from which a job may be planned."""

    bare: Bare
    part: Part
    named: Revision | None


def bare_answers(rooms: Rooms, wanted: Callable[[Place, str], bool]) -> dict[Cell, Standing]:
    """The answers listed for the possible cars, of the places and parts that are wanted.

    The same rules as of a question, without the next one and without what undecided answers wait for.
    """
    found: dict[Cell, Standing] = {}
    for part, place in listed(rooms.facts, Question(), look_at_places(rooms), staff=False):
        if place is None or not wanted(place, part.code):
            continue
        case = Case(rooms, part, place, part.visible())
        judgement = judge(reasons_of(case))
        named = None if judgement.named is None else case.revisions[judgement.named]
        basis = None if judgement.named is None else known_by(case, judgement.named)
        bare = Bare(judgement.verdict, named.letter if named else None, basis)
        found[place, part.code] = Standing(bare, part, named)
    return found


def differing(before: Mapping[Cell, Bare], after: Mapping[Cell, Bare]) -> list[tuple[Cell, Bare | None, Bare | None]]:
    """The cells whose answers differ, in order; None where a part is not listed."""
    cells = sorted(before.keys() | after.keys())
    return [
        (cell, before.get(cell), after.get(cell)) for cell in cells if before.get(cell) != after.get(cell)
    ]  # fmt: skip
