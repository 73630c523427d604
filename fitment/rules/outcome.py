"""Why one revision has its outcome on a possible car: decisions and the reviews that failures bring. Pure."""

from bisect import bisect_right
from dataclasses import dataclass, field

from catalog.codes import Reason, Verdict
from fitment.domain.facts import Decision, Revision, TestFit, Variant
from fitment.rules.joint_site import inner_cuts
from fitment.rules.residual import OptionBits, Residual, residual_of

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


@dataclass(frozen=True, slots=True)
class Ruling:
    """What is decided and tried of a revision on one component at one place of a variant.

    rejections, approvals: the decisions, as the variant reads their conditions. failures: days (ordinals) of
    failed test fits there that no later pass there lifts.
    """

    rejections: tuple[tuple[Residual, Decision], ...]
    approvals: tuple[tuple[Residual, Decision], ...]
    failures: tuple[int, ...]
    bits: int
    cuts: frozenset[int]
    starts: tuple[int, ...] = ()
    known: dict[tuple[int, int], Reason] = field(default_factory=dict, repr=False, compare=False)

    def reason(self, day: int, options: int) -> Reason:
        """The reason on one possible car that has the component: the first that applies."""
        key = (bisect_right(self.starts, day), options & self.bits)
        if key not in self.known:
            self.known[key] = self._reason(day, options)
        return self.known[key]

    def _reason(self, day: int, options: int) -> Reason:
        if any(residual.holds(day, options) for residual, _ in self.rejections):
            return Reason.REJECTED
        approved = [decision for residual, decision in self.approvals if residual.holds(day, options)]
        if not approved:
            return Reason.UNDECIDED
        return Reason.UNDER_REVIEW if self.failures and self._stands(approved) else Reason.APPROVED

    def failing(self, day: int, options: int) -> bool:
        """Whether a failed test fit stands here: no later approval that is true here, no later pass, lifts it."""
        return bool(self.failures) and self._stands(self.holding(day, options, Reason.APPROVED))

    def holding(self, day: int, options: int, reason: Reason) -> list[Decision]:
        """The decisions behind a reason on one possible car."""
        decisions = self.rejections if reason is Reason.REJECTED else self.approvals
        return [decision for residual, decision in decisions if residual.holds(day, options)]

    def _stands(self, approved: list[Decision]) -> bool:
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
    approving = ("approved", "proposed") if proposals else ("approved",)
    rejections: list[tuple[Residual, Decision]] = []
    approvals: list[tuple[Residual, Decision]] = []
    for decision in revision.decisions.get(component, ()):
        if decision.decision != "rejected" and decision.decision not in approving:
            continue
        residual = residual_of(decision.conditions, variant, bits, place)
        if residual is None:
            continue
        (rejections if decision.decision == "rejected" else approvals).append((residual, decision))
    asked = 0
    cuts: set[int] = set()
    for residual, _ in (*rejections, *approvals):
        asked |= residual.bits
        cuts.update(residual.cuts())
    tests = tests_at(revision, component, axle, location)
    failures = tuple(test.done_on.toordinal() for test in tests if not test.passed and not answered(test, tests))
    inside = inner_cuts(cuts, variant)
    return Ruling(tuple(rejections), tuple(approvals), failures, asked, inside, tuple(sorted(inside)))


def tests_at(revision: Revision, component: str, axle: str, location: str) -> tuple[TestFit, ...]:
    """The test fits of a revision on a component at a place of an axle."""
    tests = revision.tests.get(component, ())
    return tuple(test for test in tests if test.axle == axle and test.location == location)


def answered(failed: TestFit, tests: tuple[TestFit, ...]) -> bool:
    """Whether a later day's pass there, on a car with the failing car's drivetrain and steering side, lifts it."""
    return any(
        test.passed
        and test.done_on > failed.done_on
        and (test.drivetrain, test.steering) == (failed.drivetrain, failed.steering)
        for test in tests
    )
