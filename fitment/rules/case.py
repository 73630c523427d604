"""One part at one place, over all possible cars: which reason each revision has on which of them. Pure."""

from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from catalog.codes import Reason
from fitment.domain.facts import Decision, Part, Place, Revision
from fitment.rules.basis import Evidence
from fitment.rules.joint_site import JointSite
from fitment.rules.outcome import Ruling, ruling
from fitment.rules.possible_cars import CarSpace, Cell, VariantRegion

Reasons = tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A cell of a region with the component there (None: none, or a conflict) and a reason a revision.

    `share` is the cell's, times the component's among the alternatives.
    """

    cell: Cell
    component: str | None
    reasons: Reasons
    share: Fraction | int


@dataclass(slots=True)
class _View:
    """What one region reads for the case."""

    missing: Reason | None
    site: JointSite | None
    rulings: dict[str, tuple[Ruling, ...]]
    bits: int
    cuts: frozenset[int]
    rows: tuple[Row, ...] | None = None
    fitting: tuple[int, int] | None = None


class Case:
    """The reasons of `revisions` (in that order) of a part at a place, for every possible car.

    With `proposals` they count as approvals (for staff's view of what is not visible).
    """

    def __init__(
        self, space: CarSpace, part: Part, place: Place, revisions: tuple[Revision, ...], *, proposals: bool = False
    ) -> None:
        self.space = space
        self.part = part
        self.place = place
        self.revisions = revisions
        self._proposals = proposals
        self._views: dict[int, _View] = {}
        self.depends: dict[str, Mapping[Hashable, bool]] = {}
        """By attribute: whether the verdict is `depends` under each answer."""

    def bits(self, region: VariantRegion) -> int:
        return self._view(region).bits

    def cuts(self, region: VariantRegion) -> frozenset[int]:
        return self._view(region).cuts

    def rows(self, region: VariantRegion, bits: int = 0, cuts: Iterable[int] = ()) -> Iterable[Row]:
        """The region's cells as the case, and whatever else is named, reads them."""
        view = self._view(region)
        more = {cut for cut in cuts if cut not in view.cuts}
        if not more and not bits & ~(view.bits | region.stated_bits):
            if view.rows is None:
                view.rows = tuple(self._rows(region, view, view.bits, view.cuts))
            return view.rows
        return self._rows(region, view, view.bits | bits, view.cuts | more)

    def at(self, region: VariantRegion, day: int, mask: int) -> Iterator[tuple[str | None, Reasons, int]]:
        """Each component there may be on one day with these options: its reasons, and among how many."""
        return self._at(self._view(region), region, day, mask)

    def _at(self, view: _View, region: VariantRegion, day: int, mask: int) -> Iterator[tuple[str | None, Reasons, int]]:
        if view.missing is not None:
            yield None, (view.missing,) * len(self.revisions), 1
            return
        state = region.state(self.place, day, mask)
        if not state:
            reason = Reason.CONFLICT if state is None else Reason.NO_COMPONENT
            yield None, (reason,) * len(self.revisions), 1
            return
        for component in state:
            reasons = tuple(ruling_.reason(day, mask) for ruling_ in view.rulings[component])
            yield component, reasons, len(state)

    def _rows(self, region: VariantRegion, view: _View, bits: int, cuts: Iterable[int]) -> Iterator[Row]:
        for cell in region.cells(bits, cuts):
            for component, reasons, among in self._at(view, region, cell.first, cell.mask):
                share = cell.share if among == 1 else cell.share * Fraction(1, among)
                yield Row(cell, component, reasons, share)

    def _view(self, region: VariantRegion) -> _View:
        view = self._views.get(id(region))
        if view is None:
            view = self._views[id(region)] = self._looked_at(region)
        return view

    def _looked_at(self, region: VariantRegion) -> _View:
        axle = region.variant.axle(self.place[0])
        site = region.sites[self.place]
        if axle is None or site is None:
            missing = Reason.NO_AXLE if axle is None else Reason.NO_SUCH_LOCATION
            return _View(missing, None, {}, 0, frozenset())
        stated = next((component for stated, component in region.stated if stated is site), None)
        components = {row[3] for row in site.rows} if stated is None else {stated}
        rulings = {
            component: tuple(self._ruling(region, revision, component, axle) for revision in self.revisions)
            for component in components
        }
        bits, cuts = (0, frozenset()) if stated is not None else (site.bits, site.cuts)
        for several in rulings.values():
            for one in several:
                bits |= one.bits
                cuts |= one.cuts
        return _View(None, site, rulings, bits, cuts)

    def _ruling(self, region: VariantRegion, revision: Revision, component: str, axle: str) -> Ruling:
        """The ruling, worked out once for the facts."""
        worked_out = self.space.facts.worked_out
        key = (
            "ruling", region.variant.code, self.place, self.part.code, revision.letter, component, self._proposals
        )  # fmt: skip
        if key not in worked_out:
            worked_out[key] = ruling(
                revision, component, axle, self.place[1], region.variant, self.space.bits, proposals=self._proposals
            )
        found: Ruling = worked_out[key]
        return found

    def fitting(self, region: VariantRegion) -> tuple[int, int]:
        """The revisions (as bits) that fit some car of a region, and those that fit all."""
        view = self._view(region)
        if view.fitting is None:
            some, every = 0, -1
            for row in self.rows(region):
                bits = fit_bits(row.reasons)
                some, every = some | bits, every & bits
            view.fitting = some, every
        return view.fitting

    def evidence(self, region: VariantRegion, revision: Revision, component: str) -> Evidence:
        """What stands behind a revision on a component at this place of a region's variant."""
        axle = region.variant.axle(self.place[0])
        if axle is None:
            raise LookupError(f"{region.variant.code} has no axle at its {self.place[0]}")
        facts, variant, bits = self.space.facts, region.variant, self.space.bits
        key = ("evidence", variant.code, self.place, self.part.code, revision.letter, component)
        if key not in facts.worked_out:
            facts.worked_out[key] = Evidence(facts, self.part, revision, component, axle, self.place[1], variant, bits)
        found: Evidence = facts.worked_out[key]
        return found

    def deciding(self, region: VariantRegion, row: Row, position: int) -> list[Decision]:
        """The decisions behind the reason that the revision at a position has in a row."""
        if row.component is None:
            return []
        ruled = self._view(region).rulings[row.component][position]
        return ruled.holding(row.cell.first, row.cell.mask, row.reasons[position])


@lru_cache(maxsize=4096)
def fit_bits(reasons: Reasons) -> int:
    """The revisions that fit, as bits."""
    bits = 0
    for position, reason in enumerate(reasons):
        if reason is Reason.APPROVED:
            bits |= 1 << position
    return bits
