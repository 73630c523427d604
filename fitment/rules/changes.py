"""The bare answers of a car known by its variant, and how they differ before and after a change. Pure."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from catalog.codes import Basis, Verdict
from fitment.domain.description import Question
from fitment.domain.facts import Part, Place, Revision
from fitment.rules.answer import known_by
from fitment.rules.case import Case
from fitment.rules.outcome import judge
from fitment.rules.places import listed, place_occupants
from fitment.rules.possible_cars import CarSpace

AnswerKey = tuple[Place, str]
"""A place and the code of a part."""


@dataclass(frozen=True, slots=True)
class BareAnswer:
    """Verdict, revision and basis; `part` and `named` are the facts behind them, not compared."""

    verdict: Verdict
    revision: str | None
    basis: Basis | None

    def as_json(self) -> dict[str, str | None]:
        return {"verdict": self.verdict, "revision": self.revision, "basis": self.basis}


@dataclass(frozen=True, slots=True)
class ListedAnswer:
    """A bare answer with the part and the revision it names, from which a job may be planned."""

    bare: BareAnswer
    part: Part
    named: Revision | None


def bare_answers(space: CarSpace, wanted: Callable[[Place, str], bool]) -> dict[AnswerKey, ListedAnswer]:
    """The answers listed for the possible cars, of the places and parts that are wanted.

    The same rules as of a question, without the next one and without what undecided answers wait for.
    """
    found: dict[AnswerKey, ListedAnswer] = {}
    for part, place in listed(space, Question(), place_occupants(space), staff=False):
        if place is None or not wanted(place, part.code):
            continue
        case = Case(space, part, place, part.visible())
        judgement = judge(case.reasons())
        named = None if judgement.named is None else case.revisions[judgement.named]
        basis = None if judgement.named is None else known_by(case, judgement.named)
        bare = BareAnswer(judgement.verdict, named.letter if named else None, basis)
        found[place, part.code] = ListedAnswer(bare, part, named)
    return found


Difference = tuple[AnswerKey, BareAnswer | None, BareAnswer | None]


def differing(before: Mapping[AnswerKey, BareAnswer], after: Mapping[AnswerKey, BareAnswer]) -> list[Difference]:
    """The keys whose answers differ, in order; None where a part is not listed."""
    keys = sorted(before.keys() | after.keys())
    return [(key, before.get(key), after.get(key)) for key in keys if before.get(key) != after.get(key)]
