"""The coverage matrix: every cell with its cars, its state and what reaches it. Pure."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from typing import Annotated

from catalog.codes import Basis, CoverageState, End, MatchVerdict, Status
from catalog.stamps import letter_order
from fitment.answers.contract import INLINE, INTERNAL, As, Cars, Revisions, Values, member
from fitment.coverage.component_verdicts import RevisionKey
from fitment.coverage.counting import CellCount, CellCounts, CellKey
from fitment.domain.facts import Facts
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.matching import Matching

CELL_STATES = tuple(state for state in CoverageState if state is not CoverageState.UNKNOWN)


@dataclass(frozen=True)
class CoverageCell:
    """One cell, with the count it was made from."""

    key: Annotated[CellKey, INLINE]
    end: Annotated[str, As(End, End)]
    state: Annotated[CoverageState, Values(CELL_STATES)]
    by: Revisions
    conflict: bool
    count: Annotated[CellCount, INTERNAL]

    @member
    def cars(self) -> Cars:
        return self.count.whole.cars

    @member
    def covered(self) -> Cars:
        return self.count.whole.covered

    @member
    def uncovered(self) -> Cars:
        return self.count.whole.uncovered

    @member
    def basis(self) -> Basis | None:
        return self.count.basis

    @property
    def waits(self) -> bool:
        """Whether some car is uncovered and we mean to cover it."""
        return self.state not in (CoverageState.RELEASED, CoverageState.NOT_OFFERED)


def cells_of(
    facts: Facts, counts: CellCounts, matching: Matching, not_offered: Collection[AxlePlace]
) -> tuple[CoverageCell, ...]:
    """All cells by axle, location and component; `not_offered` are the places we have decided against."""
    passed = passed_prototypes(facts)
    cells = []
    for key, count in sorted(counts.cells.items(), key=lambda item: item[0]):
        refused = AxlePlace(key.axle, key.location) in not_offered
        if not count.whole.some_uncovered:
            found = NearestState(CoverageState.RELEASED, tuple(count.by))
        elif refused:
            found = NearestState(CoverageState.NOT_OFFERED)
        else:
            found = nearest(key, count, matching, passed.get(key, ()))
        by = sorted(found.by, key=lambda revision: (revision[0], letter_order(revision[1])))
        conflict = refused and count.whole.covered > 0
        cells.append(CoverageCell(key, count.end, found.state, tuple(by), conflict, count))
    return tuple(cells)


@dataclass(frozen=True)
class NearestState:
    """The nearest state of an uncovered cell, and the revisions that reach it, by part and letter."""

    state: CoverageState
    by: tuple[RevisionKey, ...] = ()


def passed_prototypes(facts: Facts) -> dict[CellKey, set[RevisionKey]]:
    """The prototypes that passed a test fit, by axle, location and component."""
    found: dict[CellKey, set[RevisionKey]] = {}
    for part in facts.parts.values():
        for revision in part.revisions:
            if revision.status != Status.PROTOTYPE:
                continue
            for test in (test for tests in revision.tests.values() for test in tests if test.passed):
                key = CellKey(test.axle, test.location, test.component)
                found.setdefault(key, set()).add((part.code, revision.letter))
    return found


def nearest(key: CellKey, count: CellCount, matching: Matching, passed: Iterable[RevisionKey]) -> NearestState:
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
            and (_is_prototype(matching, revision) or matching.revisions[revision].visible)
            and prototype in (None, _is_prototype(matching, revision))
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
            return NearestState(state, tuple(found))
    return NearestState(CoverageState.NEW_DESIGN)


def _is_prototype(matching: Matching, revision: RevisionKey) -> bool:
    return matching.revisions[revision].status == Status.PROTOTYPE
