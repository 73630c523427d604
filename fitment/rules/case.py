"""One part at one place, over all possible cars: which reason each revision has on which of them. Pure."""

from collections.abc import Iterable
from typing import NamedTuple

from catalog.codes import Reason
from fitment.domain.facts import FitDecision, Part, Place, Revision
from fitment.rules.basis import Evidence
from fitment.rules.derivations import Placement, Reasons, Revisions, SiteOutcome, everywhere
from fitment.rules.possible_cars import CarCell, CarSpace, VariantRegion

NOWHERE = frozenset[int]()


class CaseRow(NamedTuple):
    """A cell of a region with the outcome for a component there may be: its reasons, and the revisions that fit."""

    cell: CarCell
    component: str | None
    reasons: Reasons
    fits: int


class Case:
    """The reasons of `revisions` (in that order) of a part at a place, for every possible car.

    With `proposals` they count as approvals (for staff's view of what is not visible).
    """

    def __init__(
        self, space: CarSpace, part: Part, place: Place, revisions: Revisions, *, proposals: bool = False
    ) -> None:
        self.space = space
        self.part = part
        self.place = place
        self.revisions = revisions
        self._proposals = proposals
        self._placements: dict[VariantRegion, Placement | None] = {}
        self._rows: dict[VariantRegion, tuple[CaseRow, ...]] = {}

    def placement(self, region: VariantRegion) -> Placement | None:
        """The revisions at the place of a region's variant; None where it has no such place."""
        if region not in self._placements:
            site = region.sites[self.place]
            self._placements[region] = (
                None
                if site is None
                else self.space.derivations.placement(
                    self.revisions, site, region.variant, region.stated_at(site), self._proposals
                )
            )
        return self._placements[region]

    def bits(self, region: VariantRegion) -> int:
        """The options that the reasons read."""
        placement = self.placement(region)
        return placement.bits if placement is not None else 0

    def cuts(self, region: VariantRegion) -> frozenset[int]:
        """The days on which the reasons may change."""
        placement = self.placement(region)
        return placement.cuts if placement is not None else NOWHERE

    def rows(self, region: VariantRegion, bits: int = 0, cuts: frozenset[int] = NOWHERE) -> Iterable[CaseRow]:
        """The region's cells as the case, and whatever else is named, reads them."""
        if (bits or cuts) and (bits & ~(self.bits(region) | region.stated_bits) or not cuts <= self.cuts(region)):
            return self._read(region, bits, cuts)
        rows = self._rows.get(region)
        if rows is None:
            rows = self._rows[region] = self._read(region, 0, NOWHERE)
        return rows

    def _read(self, region: VariantRegion, bits: int, cuts: frozenset[int]) -> tuple[CaseRow, ...]:
        placement = self.placement(region)
        if placement is None:
            outcomes = self.at(region, 0, 0)
            return tuple(CaseRow(cell, *one) for cell in region.cells(bits, cuts) for one in outcomes)
        at = placement.at
        cells = region.cells(placement.bits | bits, placement.cuts | cuts)
        return tuple([CaseRow(cell, *outcome) for cell in cells for outcome in at(cell.first, cell.mask)])

    def at(self, region: VariantRegion, day: int, mask: int) -> tuple[SiteOutcome, ...]:
        """The outcome for each component there may be on one day with these options."""
        placement = self.placement(region)
        if placement is not None:
            return placement.at(day, mask)
        axle = region.variant.axle(self.place[0])
        return everywhere(Reason.NO_AXLE if axle is None else Reason.NO_SUCH_LOCATION, len(self.revisions))

    def reasons(self) -> list[set[Reason]]:
        """The reasons that each revision has on some possible car."""
        found = {row.reasons for region in self.space for row in self.rows(region)}
        return [set(several) for several in zip(*found, strict=True)] or [set() for _ in self.revisions]

    def fitting(self, region: VariantRegion) -> tuple[int, int]:
        """The revisions (as bits) that fit some car of a region, and those that fit all."""
        some, every = 0, -1
        for row in self.rows(region):
            some, every = some | row.fits, every & row.fits
        return some, every

    def evidence(self, region: VariantRegion, revision: Revision, component: str) -> Evidence:
        """What stands behind a revision on a component at this place of a region's variant."""
        site = region.sites[self.place]
        if site is None:
            raise LookupError(f"{region.variant.code} has no {self.place[1]} at its {self.place[0]}")
        return self.space.derivations.evidence(self.part, revision, component, site, region.variant)

    def deciding(self, region: VariantRegion, row: CaseRow, position: int) -> list[FitDecision]:
        """The decisions behind the approval or rejection that the revision at a position has in a row."""
        placement = self.placement(region)
        decided = row.reasons[position] in (Reason.APPROVED, Reason.REJECTED)
        if placement is None or row.component is None or not decided:
            return []
        ruling = placement.rulings[row.component][position]
        return ruling.holding(row.cell.first, row.cell.mask, row.reasons[position])
