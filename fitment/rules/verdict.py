"""From the reasons on all possible cars to one verdict. Pure."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from catalog.codes import Reason, Verdict
from fitment.rules.case import Case
from fitment.rules.outcome import OUTCOMES


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict, the position of the revision it names, and of the others that fit some possible car."""

    verdict: Verdict
    named: int | None = None
    others: tuple[int, ...] = ()


def judge(reasons: Sequence[AbstractSet[Reason]]) -> Judgement:
    """The verdict over all possible cars from what each visible revision (newest first) has on some of them.

    `fits` needs one revision that fits every car, not one revision for each car.

    >>> judge([{Reason.UNDECIDED}, {Reason.APPROVED}]).named
    1
    """
    always = [position for position, found in enumerate(reasons) if found == {Reason.APPROVED}]
    if always:
        return Judgement(Verdict.FITS, always[0])
    sometimes = [position for position, found in enumerate(reasons) if Reason.APPROVED in found]
    if sometimes:
        return Judgement(Verdict.DEPENDS, sometimes[0], tuple(sometimes[1:]))
    if reasons and all(OUTCOMES[reason] is Verdict.DOES_NOT_FIT for reason in reasons[0]):
        return Judgement(Verdict.DOES_NOT_FIT)
    return Judgement(Verdict.NOT_KNOWN)


def reasons_of(case: Case) -> list[set[Reason]]:
    """The reasons that each revision of a case has on some possible car."""
    found: list[set[Reason]] = [set() for _ in case.revisions]
    for region in case.space:
        for reasons in {row.reasons for row in case.rows(region)}:
            for position, reason in enumerate(reasons):
                found[position].add(reason)
    return found


@dataclass(slots=True)
class Tally:
    """Whether an answer is `depends` over a set of possible cars, added up piece by piece.

    `some` has the revisions that fit some car, `every` those that fit all.
    """

    some: int = 0
    every: int = -1

    def add(self, some: int, every: int) -> None:
        self.some |= some
        self.every &= every

    @property
    def depends(self) -> bool:
        return bool(self.some) and not self.every
