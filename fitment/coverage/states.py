"""How near an uncovered cell is to a part. Pure."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from catalog.codes import CoverageState, MatchVerdict
from fitment.coverage.counting import CellKey, Count
from fitment.coverage.said import RevisionKey
from fitment.domain.facts import Facts
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.matching import Matching

PROTOTYPE = "prototype"


@dataclass(frozen=True)
class Nearest:
    """The nearest state of an uncovered cell, and the revisions that reach it, by part and letter."""

    state: CoverageState
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
    by_verdict = matching.by_verdict(key.component, AxlePlace(key.axle, key.location))
    against = count.rejected | count.failing

    def candidates(verdict: MatchVerdict, *, prototype: bool | None = None) -> list[RevisionKey]:
        return [
            revision
            for revision in by_verdict[verdict]
            if revision not in against
            and (is_prototype(matching, revision) or matching.revisions[revision].visible)
            and prototype in (None, is_prototype(matching, revision))
        ]

    def tried(revisions: Iterable[RevisionKey]) -> list[RevisionKey]:
        return [revision for revision in revisions if revision in matching.revisions and revision not in against]

    reached: dict[CoverageState, Callable[[], list[RevisionKey]]] = {
        CoverageState.CARRY_OVER: lambda: candidates(MatchVerdict.DROPS_IN, prototype=False),
        CoverageState.TEST_FIT: lambda: tried(passed),
        CoverageState.PROTOTYPE: lambda: tried(count.proposed),
        CoverageState.RESIZE: lambda: [
            *candidates(MatchVerdict.RESIZE),
            *candidates(MatchVerdict.DROPS_IN, prototype=True),
        ],
        CoverageState.UNMEASURED: lambda: candidates(MatchVerdict.UNMEASURED),
    }
    for state, revisions in reached.items():
        if found := revisions():
            return Nearest(state, tuple(found))
    return Nearest(CoverageState.NEW_DESIGN)


def is_prototype(matching: Matching, revision: RevisionKey) -> bool:
    return matching.revisions[revision].status == PROTOTYPE
