"""How near an uncovered cell is to a part. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from fitment.engineering.interface import MatchVerdict
from fitment.engineering.matching import Matching
from fitment.engineering.pieces import Place
from fitment.rules.facts import Facts

from .counting import CellKey, Count, RevisionKey

PROTOTYPE = "prototype"


class State(StrEnum):
    RELEASED = "released"
    NOT_OFFERED = "not_offered"
    CARRY_OVER = "carry_over"
    TEST_FIT = "test_fit"
    PROTOTYPE = "prototype"
    RESIZE = "resize"
    UNMEASURED = "unmeasured"
    NEW_DESIGN = "new_design"
    UNKNOWN = "unknown"


NEAREST_FIRST = (
    State.CARRY_OVER, State.TEST_FIT, State.PROTOTYPE, State.RESIZE, State.UNMEASURED, State.NEW_DESIGN,
)  # fmt: skip


@dataclass(frozen=True)
class Nearest:
    """The nearest state of an uncovered cell, and the revisions that reach it, by part and letter."""

    state: State
    by: tuple[RevisionKey, ...] = ()


def passed_prototypes(facts: Facts) -> dict[CellKey, set[RevisionKey]]:
    """The prototypes that passed a test fit, by axle, location and component."""
    found: dict[CellKey, set[RevisionKey]] = {}
    for part in facts.parts.values():
        for revision in part.revisions:
            if revision.status != PROTOTYPE:
                continue
            for test in (test for tests in revision.tests.values() for test in tests if test.passed):
                key = CellKey(test.axle, test.location, test.component)
                found.setdefault(key, set()).add((part.code, revision.letter))
    return found


def nearest(key: CellKey, count: Count, matching: Matching, passed: Iterable[RevisionKey]) -> Nearest:
    """What the uncovered cars of a cell wait for.

    Candidates are visible revisions and prototypes that no uncovered car rejects and no standing failure speaks
    against.
    """
    place = Place(key.axle, key.location)
    passed = frozenset(passed)
    reached: dict[State, list[RevisionKey]] = {state: [] for state in NEAREST_FIRST}
    for revision, piece in matching.revisions.items():
        if revision in count.rejected or revision in count.failing:
            continue
        prototype = piece.status == PROTOTYPE
        if not (prototype or piece.visible):
            continue
        verdict = matching.verdict(revision, key.component, place)
        drops_in = verdict is MatchVerdict.DROPS_IN
        if drops_in and not prototype:
            reached[State.CARRY_OVER].append(revision)
        if prototype and revision in passed:
            reached[State.TEST_FIT].append(revision)
        if revision in count.proposed:
            reached[State.PROTOTYPE].append(revision)
        if verdict is MatchVerdict.RESIZE or (drops_in and prototype):
            reached[State.RESIZE].append(revision)
        if verdict is MatchVerdict.UNMEASURED:
            reached[State.UNMEASURED].append(revision)
    state = next((state for state in NEAREST_FIRST if reached[state]), State.NEW_DESIGN)
    return Nearest(state, tuple(reached[state]))
