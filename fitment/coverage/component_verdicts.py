"""What all parts say of an original joint at a place of a variant. Pure."""

from collections import defaultdict
from dataclasses import dataclass

from catalog.codes import Basis, Decision, Reason, Status
from fitment.domain.facts import Part, Revision
from fitment.rules.basis import Evidence
from fitment.rules.joint_site import JointSite
from fitment.rules.outcome import Ruling, ruling
from fitment.rules.possible_cars import CarSpace, VariantRegion
from fitment.rules.residual import Residual, residual_of

RevisionKey = tuple[str, str]
"""Part and letter."""


@dataclass(frozen=True)
class RevisionVerdict:
    """What one revision says of the component at one place of a variant; visible ones carry their evidence."""

    key: RevisionKey
    ruling: Ruling
    evidence: Evidence | None
    proposals: tuple[Residual, ...]

    def rejects(self, day: int, mask: int) -> bool:
        return bool(self.ruling.holding(day, mask, Reason.REJECTED))

    def fails(self, day: int, mask: int) -> bool:
        return self.ruling.failing(day, mask)

    def proposes(self, day: int, mask: int) -> bool:
        return any(residual.holds(day, mask) for residual in self.proposals)

    def covers(self, day: int, mask: int) -> bool:
        return self.evidence is not None and self.ruling.reason(day, mask) is Reason.APPROVED


@dataclass(frozen=True)
class ComponentVerdicts:
    """What all parts say, the revisions of each newest first, and which options and days that reads."""

    parts: tuple[tuple[RevisionVerdict, ...], ...]
    bits: int
    cuts: frozenset[int]

    @property
    def revisions(self) -> list[RevisionVerdict]:
        return [verdict for part in self.parts for verdict in part]

    def covering(self, day: int, mask: int) -> list[tuple[RevisionKey, Basis]]:
        """Of each part the newest visible revision that fits one possible car, and how well that is known."""
        newest = (next((one for one in part if one.covers(day, mask)), None) for part in self.parts)
        return [(one.key, one.evidence.basis(day, mask)) for one in newest if one is not None and one.evidence]


class VerdictReader:
    """Reads the verdicts at every place of the car space, each distinct one once."""

    def __init__(self, space: CarSpace) -> None:
        self._space = space
        self._by_component: dict[str, list[Part]] = defaultdict(list)
        self._conditional: set[str] = set()
        self._known: dict[tuple[str, ...], ComponentVerdicts] = {}
        for part in space.facts.parts.values():
            self._index(part)

    def _index(self, part: Part) -> None:
        named = set()
        for revision in part.revisions:
            named |= {*revision.decisions, *revision.tests}
            for component, decisions in revision.decisions.items():
                if any(decision.conditions for decision in decisions):
                    self._conditional.add(component)
        for component in named:
            self._by_component[component].append(part)

    def at(self, region: VariantRegion, site: JointSite, component: str) -> ComponentVerdicts:
        """What is said of a component; alike for cars that evidence does not tell apart, unless on conditions."""
        if component in self._conditional:
            return self._read(region, site, component)
        key = (site.axle, site.place[1], component, region.variant.drivetrain, region.variant.steering)
        if key not in self._known:
            self._known[key] = self._read(region, site, component)
        return self._known[key]

    def candidates(self, component: str) -> list[tuple[Part, Revision]]:
        """The visible revisions and prototypes that anything is said of on a component, newest first a part."""
        return [(part, one) for part in self._by_component.get(component, ()) for one in _candidates(part)]

    def _read(self, region: VariantRegion, site: JointSite, component: str) -> ComponentVerdicts:
        parts = tuple(
            tuple(self._verdict(region, site, component, part, revision) for revision in _candidates(part))
            for part in self._by_component.get(component, ())
        )
        bits = 0
        cuts: set[int] = set()
        for verdict in (verdict for part in parts for verdict in part):
            bits |= verdict.ruling.bits
            cuts |= verdict.ruling.cuts
            if verdict.evidence is not None:
                bits |= verdict.evidence.bits
                cuts |= verdict.evidence.cuts
            for residual in verdict.proposals:
                bits |= residual.bits
                cuts.update(residual.cuts())
        return ComponentVerdicts(parts, bits, frozenset(cuts))

    def _verdict(
        self, region: VariantRegion, site: JointSite, component: str, part: Part, revision: Revision
    ) -> RevisionVerdict:
        facts, bits, variant = self._space.facts, self._space.bits, region.variant
        location = site.place[1]
        evidence = None
        if revision.visible:
            evidence = Evidence(facts, part, revision, component, site.axle, location, variant, bits)
        # What speaks for a revision short of covering: proposals, and of a prototype approvals too.
        speaks = (Decision.PROPOSED,) if revision.visible else (Decision.PROPOSED, Decision.APPROVED)
        place = {"axle": site.axle, "location": location}
        proposals = (
            residual_of(decision.conditions, variant, bits, place)
            for decision in revision.decisions.get(component, ())
            if decision.decision in speaks
        )
        return RevisionVerdict(
            (part.code, revision.letter),
            ruling(revision, component, site.axle, location, variant, bits),
            evidence,
            tuple(residual for residual in proposals if residual is not None),
        )


def _candidates(part: Part) -> list[Revision]:
    return [one for one in part.newest_first() if one.visible or one.status == Status.PROTOTYPE]
