"""The coverage matrix: every cell with its cars, its state and what reaches it. Pure."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from fractions import Fraction

from catalog.codes import Basis, CoverageState, MatchVerdict, Status
from catalog.stamps import letter_order
from fitment.coverage.component_verdicts import RevisionKey
from fitment.coverage.counting import CellCount, CellCounts, CellKey
from fitment.domain.facts import Facts
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.matching import Matching


@dataclass(frozen=True)
class CoverageCell:
    """One cell, with the count it was made from."""

    key: CellKey
    end: str
    state: CoverageState
    by: tuple[RevisionKey, ...]
    conflict: bool
    count: CellCount

    @property
    def cars(self) -> Fraction:
        return self.count.whole.cars

    @property
    def covered(self) -> Fraction:
        return self.count.whole.covered

    @property
    def uncovered(self) -> Fraction:
        return self.count.whole.uncovered

    @property
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
