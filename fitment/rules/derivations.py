"""What the rules derive from facts whatever is asked of them, so that many questions share it. Pure."""

from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from catalog.codes import Reason
from fitment.domain.facts import Facts, Part, Place, Revision, Variant
from fitment.rules.basis import Evidence
from fitment.rules.joint_site import CONFLICT, JointSite, joint_site
from fitment.rules.outcome import Ruling, decided_components, ruling
from fitment.rules.residual import OptionBits, Piecewise

MOST_SITES = 10_000
MOST_DERIVED = 40_000

Reasons = tuple[Reason, ...]
Revisions = tuple[Revision, ...]


class SiteOutcome(NamedTuple):
    """A component there may be (None: none, or a conflict), a reason a revision, and as bits the revisions that fit."""

    component: str | None
    reasons: Reasons
    fits: int


class Placement(Piecewise[tuple[SiteOutcome, ...]]):
    """Some revisions of a part at a site, whose component may be stated: an outcome a component there may be."""

    def __init__(self, site: JointSite, stated: str | None, rulings: Mapping[str, tuple[Ruling, ...]], of: int) -> None:
        bits, cuts = (site.bits, site.cuts) if stated is None else (0, frozenset())
        for several in rulings.values():
            for one in several:
                bits |= one.bits
                cuts |= one.cuts
        super().__init__(bits, cuts)
        self.rulings = rulings
        self._site, self._stated, self._of = site, stated, of

    def _worked_out(self, day: int, options: int) -> tuple[SiteOutcome, ...]:
        state = self._site.state(day, options) if self._stated is None else (self._stated,)
        if not state:
            return everywhere(Reason.CONFLICT if state is CONFLICT else Reason.NO_COMPONENT, self._of)
        return tuple(
            outcome_of(component, tuple(one.reason(day, options) for one in self.rulings[component]))
            for component in state
        )


@lru_cache(maxsize=256)
def everywhere(reason: Reason, revisions: int) -> tuple[SiteOutcome, ...]:
    """The one outcome of so many revisions where there is no component to fit."""
    return (outcome_of(None, (reason,) * revisions),)


def outcome_of(component: str | None, reasons: Reasons) -> SiteOutcome:
    """The outcome of revisions with these reasons.

    >>> outcome_of("C1", (Reason.UNDECIDED, Reason.APPROVED)).fits
    2
    """
    fits = sum(1 << position for position, reason in enumerate(reasons) if reason is Reason.APPROVED)
    return SiteOutcome(component, reasons, fits)


class Derivations:
    """Sites, placements and evidence of the axles and options of some facts, the last used of them kept.

    Facts with other variants or parts, but the same axles, options and matches, may share them.
    """

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self.bits = OptionBits(facts.options)
        self.site = lru_cache(MOST_SITES)(self._site)
        self.placement = lru_cache(MOST_DERIVED)(self._placement)
        self.evidence = lru_cache(MOST_DERIVED)(self._evidence)
        self.decided_components = lru_cache(MOST_SITES)(decided_components)

    def _site(self, variant: Variant, place: Place) -> JointSite | None:
        return joint_site(self._facts, self.bits, variant, place)

    def _placement(
        self, revisions: Revisions, site: JointSite, variant: Variant, stated: str | None, proposals: bool
    ) -> Placement:
        components = {row.component for row in site.rows} if stated is None else {stated}
        rulings = {
            component: tuple(
                ruling(one, component, site.axle, site.place[1], variant, self.bits, proposals=proposals)
                for one in revisions
            )
            for component in components
        }
        return Placement(site, stated, rulings, len(revisions))

    def _evidence(self, part: Part, revision: Revision, component: str, site: JointSite, variant: Variant) -> Evidence:
        return Evidence(self._facts, part, revision, component, site.axle, site.place[1], variant, self.bits)
