"""What all parts say of an original joint at a place of a variant. Pure."""

from collections import defaultdict
from dataclasses import dataclass

from catalog.codes import Basis, Reason
from fitment.domain.facts import Part, Revision
from fitment.rules.basis import Evidence
from fitment.rules.joint_site import JointSite
from fitment.rules.outcome import Ruling, ruling
from fitment.rules.possible_cars import CarSpace, VariantRegion
from fitment.rules.residual import Residual, residual_of

RevisionKey = tuple[str, str]
"""Part and letter."""


@dataclass(frozen=True)
class Seen:
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


@dataclass(frozen=True)
class Parted:
    """The revisions of one part there, newest first."""

    revisions: tuple[Seen, ...]

    def covering(self, day: int, mask: int) -> tuple[RevisionKey, Basis] | None:
        """The newest visible revision that fits, and how well that is known."""
        for seen in self.revisions:
            if seen.evidence is not None and seen.ruling.reason(day, mask) is Reason.APPROVED:
                return seen.key, seen.evidence.basis(day, mask)
        return None


@dataclass(frozen=True)
class Said:
    """What all parts say, and which options and days that reads."""

    parts: tuple[Parted, ...]
    bits: int
    cuts: frozenset[int]

    @property
    def revisions(self) -> list[Seen]:
        return [seen for parted in self.parts for seen in parted.revisions]

    def covering(self, day: int, mask: int) -> list[tuple[RevisionKey, Basis]]:
        """The revisions that cover one possible car, one a part."""
        return [found for parted in self.parts if (found := parted.covering(day, mask)) is not None]


class Sayings:
    """What is said at every place of the car space, each distinct thing worked out once."""

    def __init__(self, space: CarSpace) -> None:
        self._space = space
        self._by_component: dict[str, list[Part]] = defaultdict(list)
        self._conditional: set[str] = set()
        self._said: dict[tuple[str, ...], Said] = {}
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

    def at(self, region: VariantRegion, site: JointSite, component: str) -> Said:
        """What is said of a component; alike for cars that evidence does not tell apart, unless on conditions."""
        if component in self._conditional:
            return self._read(region, site, component)
        variant = region.variant
        key = (site.axle, site.place[1], component, variant.drivetrain, variant.steering)
        found = self._said.get(key)
        if found is None:
            found = self._said[key] = self._read(region, site, component)
        return found

    def candidates(self, component: str) -> list[tuple[Part, Revision]]:
        """The visible revisions and prototypes that anything is said of on a component, newest first a part."""
        return [(part, one) for part in self._by_component.get(component, ()) for one in _candidates(part)]

    def _read(self, region: VariantRegion, site: JointSite, component: str) -> Said:
        parts = tuple(
            _parted(self._space, region, site, component, part) for part in self._by_component.get(component, ())
        )
        bits = 0
        cuts: set[int] = set()
        for seen in (seen for part in parts for seen in part.revisions):
            bits |= seen.ruling.bits
            cuts |= seen.ruling.cuts
            if seen.evidence is not None:
                bits |= seen.evidence.bits
                cuts |= seen.evidence.cuts
            for residual in seen.proposals:
                bits |= residual.bits
                cuts.update(residual.cuts())
        return Said(parts, bits, frozenset(cuts))


def _candidates(part: Part) -> list[Revision]:
    return [revision for revision in part.newest_first() if revision.visible or revision.status == "prototype"]


def _parted(space: CarSpace, region: VariantRegion, site: JointSite, component: str, part: Part) -> Parted:
    _, location = site.place
    return Parted(
        tuple(
            Seen(
                (part.code, revision.letter),
                ruling(revision, component, site.axle, location, region.variant, space.bits),
                _evidence(space, region, site, component, part, revision),
                _proposals(space, region, site, component, revision),
            )
            for revision in _candidates(part)
        )
    )


def _evidence(
    space: CarSpace, region: VariantRegion, site: JointSite, component: str, part: Part, revision: Revision
) -> Evidence | None:
    if not revision.visible:
        return None
    location = site.place[1]
    return Evidence(space.facts, part, revision, component, site.axle, location, region.variant, space.bits)


def _proposals(
    space: CarSpace, region: VariantRegion, site: JointSite, component: str, revision: Revision
) -> tuple[Residual, ...]:
    """Residuals of what speaks for a revision short of covering: proposals, and of a prototype approvals too."""
    for_it = ("proposed",) if revision.visible else ("proposed", "approved")
    place = {"axle": site.axle, "location": site.place[1]}
    residuals = (
        residual_of(decision.conditions, region.variant, space.bits, place)
        for decision in revision.decisions.get(component, ())
        if decision.decision in for_it
    )
    return tuple(residual for residual in residuals if residual is not None)
