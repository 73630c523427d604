"""Why one revision has its outcome on a possible car, and the verdict that follows over all of them. Pure."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from catalog.codes import DECIDED, Decision, Reason, Verdict
from fitment.domain import facts
from fitment.domain.facts import Part, Revision, TestFit, Variant
from fitment.rules.residual import OptionBits, Piecewise, Residual, reads, residual_of

OUTCOMES = {
    Reason.NO_AXLE: Verdict.NOT_KNOWN,
    Reason.NO_SUCH_LOCATION: Verdict.DOES_NOT_FIT,
    Reason.NO_COMPONENT: Verdict.NOT_KNOWN,
    Reason.CONFLICT: Verdict.NOT_KNOWN,
    Reason.REJECTED: Verdict.DOES_NOT_FIT,
    Reason.APPROVED: Verdict.FITS,
    Reason.UNDER_REVIEW: Verdict.NOT_KNOWN,
    Reason.UNDECIDED: Verdict.NOT_KNOWN,
}


Ruled = tuple[tuple[Residual, facts.FitDecision], ...]
"""Decisions, each with what a variant leaves of its conditions."""


class Ruling(Piecewise[Reason]):
    """What is decided and tried of a revision on one component at one place of a variant.

    failures: days (ordinals) of failed test fits there that no later pass there lifts.
    """

    def __init__(self, rejections: Ruled, approvals: Ruled, failures: tuple[int, ...], variant: Variant) -> None:
        super().__init__(*reads((residual for residual, _ in (*rejections, *approvals)), variant))
        self.rejections = rejections
        self.approvals = approvals
        self.failures = failures

    def reason(self, day: int, options: int) -> Reason:
        """The reason on one possible car that has the component: the first that applies."""
        return self.at(day, options)

    def _worked_out(self, day: int, options: int) -> Reason:
        if self.holding(day, options, Reason.REJECTED):
            return Reason.REJECTED
        approved = self.holding(day, options, Reason.APPROVED)
        if not approved:
            return Reason.UNDECIDED
        return Reason.UNDER_REVIEW if self._stands(approved) else Reason.APPROVED

    def failing(self, day: int, options: int) -> bool:
        """Whether a failed test fit stands here: no later approval that is true here, no later pass, lifts it."""
        return bool(self.failures) and self._stands(self.holding(day, options, Reason.APPROVED))

    def holding(self, day: int, options: int, reason: Reason) -> list[facts.FitDecision]:
        """The decisions behind a reason on one possible car."""
        decisions = self.rejections if reason is Reason.REJECTED else self.approvals
        return [decision for residual, decision in decisions if residual.holds(day, options)]

    def _stands(self, approved: list[facts.FitDecision]) -> bool:
        latest = max((decision.decided_on.toordinal() for decision in approved), default=0)
        return any(failed >= latest for failed in self.failures)


def ruling(
    revision: Revision,
    component: str,
    axle: str,
    location: str,
    variant: Variant,
    bits: OptionBits,
    *,
    proposals: bool = False,
) -> Ruling:
    """The ruling of a revision on a component at a place; with `proposals` they count as approvals."""
    place = {"axle": axle, "location": location}
    approving = (Decision.APPROVED, Decision.PROPOSED) if proposals else (Decision.APPROVED,)
    rejections: list[tuple[Residual, facts.FitDecision]] = []
    approvals: list[tuple[Residual, facts.FitDecision]] = []
    for decision in revision.decisions.get(component, ()):
        rejected = decision.decision == Decision.REJECTED
        if not rejected and decision.decision not in approving:
            continue
        residual = residual_of(decision.conditions, variant, bits, place)
        if residual is not None:
            (rejections if rejected else approvals).append((residual, decision))
    tests = tests_at(revision, component, axle, location)
    failures = tuple(test.done_on.toordinal() for test in tests if not test.passed and not _lifted(test, tests))
    return Ruling(tuple(rejections), tuple(approvals), failures, variant)


def decided_components(part: Part) -> frozenset[str]:
    """The components that a visible revision is approved or rejected for, whatever the conditions."""
    return frozenset(
        component
        for revision in part.visible()
        for component, decisions in revision.decisions.items()
        if any(decision.decision in DECIDED for decision in decisions)
    )


def tests_at(revision: Revision, component: str, axle: str, location: str) -> tuple[TestFit, ...]:
    """The test fits of a revision on a component at a place of an axle."""
    tests = revision.tests.get(component, ())
    return tuple(test for test in tests if test.axle == axle and test.location == location)


def _lifted(failed: TestFit, tests: tuple[TestFit, ...]) -> bool:
    """Whether a later day's pass there, on a car with the failing car's drivetrain and steering side, lifts it."""
    return any(
        test.passed
        and test.done_on > failed.done_on
        and (test.drivetrain, test.steering) == (failed.drivetrain, failed.steering)
        for test in tests
    )


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
