"""Cars and covered cars of every cell, over all possible cars. Pure."""

from collections import defaultdict
from collections.abc import Container, Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from catalog.codes import Basis, End
from fitment.coverage.component_verdicts import ComponentVerdicts, RevisionKey, VerdictReader
from fitment.domain.description import Description
from fitment.domain.facts import Facts
from fitment.rules.joint_site import JointSite
from fitment.rules.possible_cars import CarSpace, VariantRegion

PlatformKey = tuple[str, str]
"""Maker and chassis."""


@dataclass(frozen=True, order=True)
class CellKey:
    """An axle, a location in our range and a component that some possible car has there."""

    axle: str
    location: str
    component: str


@dataclass
class CarShare:
    """Cars and those of them that are covered; whether any is not, also one that weighs nothing."""

    cars: Fraction = Fraction(0)
    covered: Fraction = Fraction(0)
    some_covered: bool = False
    some_uncovered: bool = False

    def add(self, cars: Fraction, *, covered: bool) -> None:
        self.cars += cars
        if covered:
            self.covered += cars
            self.some_covered = True
        else:
            self.some_uncovered = True

    @property
    def uncovered(self) -> Fraction:
        return self.cars - self.covered


@dataclass
class CellCount:
    """A cell: its cars by platform, what covers them and how well, and what is said against or for others.

    `rejected`, `failing`, `proposed`: revisions that some uncovered car rejects, that a standing failure speaks
    against there, that a decision true there proposes. `waiting`: maker, chassis and code of uncovered variants.
    """

    end: str
    whole: CarShare = field(default_factory=CarShare)
    platforms: dict[PlatformKey, CarShare] = field(default_factory=lambda: defaultdict(CarShare))
    basis: Basis | None = None
    by: set[RevisionKey] = field(default_factory=set)
    rejected: set[RevisionKey] = field(default_factory=set)
    failing: set[RevisionKey] = field(default_factory=set)
    proposed: set[RevisionKey] = field(default_factory=set)
    waiting: set[tuple[str, str, str]] = field(default_factory=set)


@dataclass
class CellCounts:
    """All cells, and the cars of each platform, end and location of which no component is known."""

    cells: dict[CellKey, CellCount] = field(default_factory=dict)
    unknown: dict[tuple[PlatformKey, str, str], Fraction] = field(default_factory=dict)


def count_cells(facts: Facts, wanted: Container[CellKey] | None = None) -> CellCounts:
    """Every cell of the axles of these facts, or only those `wanted`."""
    space = CarSpace(facts, Description())
    reader = VerdictReader(space)
    counts = CellCounts()
    for region in space:
        for site in sites(region, facts):
            if site.in_range:
                _count(counts, reader, region, site, wanted)
    return counts


def _count(
    counts: CellCounts, reader: VerdictReader, region: VariantRegion, site: JointSite, wanted: Container[CellKey] | None
) -> None:
    end, location = site.place
    keys = {component: CellKey(site.axle, location, component) for component in {row.component for row in site.rows}}
    verdicts = {
        component: reader.at(region, site, component)
        for component, key in keys.items()
        if wanted is None or key in wanted
    }
    if wanted is not None and not verdicts:
        return
    bits, cuts = site.bits, set(site.cuts)
    for one in verdicts.values():
        bits |= one.bits
        cuts |= one.cuts
    platform = (region.variant.maker, region.variant.chassis)
    for cell in region.cells(bits, cuts):
        cars = region.unit * region.weight(cell)
        state = site.state(cell.first, cell.mask)
        if not state:
            key = (platform, end, location)
            counts.unknown[key] = counts.unknown.get(key, Fraction(0)) + cars
            continue
        share = cars if len(state) == 1 else cars / len(state)
        for component in state:
            if component in verdicts:
                count = counts.cells.setdefault(keys[component], CellCount(end))
                _add(count, verdicts[component], region, cell.first, cell.mask, share)


def component_cars(facts: Facts) -> dict[str, dict[str, dict[str, Fraction]]]:
    """The cars that have each component, by axle of these facts and location, in our range or not."""
    found: dict[str, dict[str, dict[str, Fraction]]] = defaultdict(lambda: defaultdict(lambda: defaultdict(Fraction)))
    for region in CarSpace(facts, Description()):
        for site in sites(region, facts):
            for cell in region.cells(site.bits, site.cuts):
                state = site.state(cell.first, cell.mask) or ()
                for component in state:
                    found[site.axle][site.place[1]][component] += region.unit * region.weight(cell) / len(state)
    return found


def sites(region: VariantRegion, facts: Facts) -> Iterator[JointSite]:
    """The places of those axles of a variant that are among the facts."""
    for end in End:
        code = region.variant.axle(end)
        axle = facts.axles.get(code) if code else None
        for location in axle.locations if axle else ():
            site = region.sites[end, location]
            if site is not None:
                yield site


def _add(
    count: CellCount, verdicts: ComponentVerdicts, region: VariantRegion, day: int, mask: int, cars: Fraction
) -> None:
    platform = (region.variant.maker, region.variant.chassis)
    covering = verdicts.covering(day, mask)
    for share in (count.whole, count.platforms[platform]):
        share.add(cars, covered=bool(covering))
    if covering:
        strongest = min((basis for _, basis in covering), key=lambda basis: basis.rank)
        known = (strongest, *([count.basis] if count.basis else ()))
        count.basis = max(known, key=lambda basis: basis.rank)
        count.by.update(key for key, _ in covering)
        return
    count.waiting.add((*platform, region.variant.code))
    for verdict in verdicts.revisions:
        if verdict.rejects(day, mask):
            count.rejected.add(verdict.key)
        if verdict.fails(day, mask):
            count.failing.add(verdict.key)
        if verdict.proposes(day, mask):
            count.proposed.add(verdict.key)
