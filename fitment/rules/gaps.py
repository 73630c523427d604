"""Where the catalogue contradicts itself or leaves cars without a fact, over all possible cars. Pure."""

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from catalog.codes import DECIDED, DayAttribute, Decision, End
from catalog.conditions import OF_PLACE, Conditions
from catalog.windows import ALWAYS
from fitment.domain.description import Description
from fitment.domain.facts import Axle, Facts, FitDecision, Joint, Variant
from fitment.errors import TooMuchWork
from fitment.rules.derivations import Derivations
from fitment.rules.joint_site import CONFLICT, JointSite
from fitment.rules.possible_cars import StatedFacts, VariantRegion, variant_region
from fitment.rules.residual import Residual, residual_of, span

DecisionKey = tuple[str, str, str, int]
"""Part, letter, component, and the position among the decisions on it."""
AxlePlace = tuple[str, str]
"""An axle and the code of a location."""
EVERY_CAR = StatedFacts.of(Description())


@dataclass
class PlaceGap:
    """A place of an axle where something is amiss for some variants; `every`: for all cars of each that has it.

    `joints`: the rows that contradict each other, where that is what is amiss.
    """

    axle: str
    end: str
    location: str
    components: set[str] = field(default_factory=set)
    variants: set[str] = field(default_factory=set)
    in_operation: int = 0
    every: bool = True
    joints: set[Joint] = field(default_factory=set)

    def add(self, variants: Iterable[Variant], components: Iterable[str]) -> None:
        for variant in variants:
            if variant.code not in self.variants:
                self.variants.add(variant.code)
                self.in_operation += variant.in_operation
        self.components.update(components)


@dataclass
class DecisionGap:
    """A decision, with the one it contradicts where it does, and the variants on which both hold."""

    part: str
    revision: str
    component: str
    decision: FitDecision
    other: FitDecision | None = None
    variants: set[str] = field(default_factory=set)


@dataclass
class Gaps:
    """All that is amiss, each list in order.

    joints: rows not all alternative that name several components for one car. contradictions: an approval and a
    rejection that hold together. unreached: decisions that no possible car comes to. empty: places in our range
    where cars have no component. unmeasured: components without a measurement that an approval rests on, with the
    parts. closed: places of a component we sell for without a way in. too_many: places of variants with too many
    possibilities to look through.
    """

    joints: list[PlaceGap]
    contradictions: list[DecisionGap]
    unreached: list[DecisionGap]
    empty: list[PlaceGap]
    unmeasured: list[tuple[str, list[str]]]
    closed: list[PlaceGap]
    too_many: list[tuple[str, str]]


def gaps(facts: Facts, *, ways: Collection[AxlePlace], measured: Collection[str]) -> Gaps:
    """Everything amiss in the whole catalogue.

    ways: the places of axles that have a way in. measured: the components with a measurement.
    """
    return _GapSearch(facts, ways, measured).found()


class _GapSearch:
    """One walk through the places of all axles; of variants that a place does not tell apart one is looked at."""

    def __init__(self, facts: Facts, ways: Collection[AxlePlace], measured: Collection[str]) -> None:
        self.facts, self.ways, self.measured = facts, ways, measured
        self.derivations = Derivations(facts)
        self.regions: dict[str, VariantRegion] = {}
        self.decisions: dict[str, dict[DecisionKey, FitDecision]] = defaultdict(dict)
        self.sold: dict[str, set[str]] = defaultdict(set)
        self.approved: dict[str, set[str]] = defaultdict(set)
        self._index()
        self.by_condition = {
            component
            for component, several in self.decisions.items()
            if any(one.conditions for one in several.values())
        }
        self.joints: dict[AxlePlace, PlaceGap] = {}
        self.empty: dict[AxlePlace, PlaceGap] = {}
        self.closed: dict[AxlePlace, PlaceGap] = {}
        self.contradictions: dict[tuple[DecisionKey, DecisionKey], DecisionGap] = {}
        self.seen: set[str] = set()
        self.reached: set[DecisionKey] = set()
        self.too_many: set[tuple[str, str]] = set()

    def _index(self) -> None:
        for part in self.facts.parts.values():
            for revision in part.revisions:
                for component, several in revision.decisions.items():
                    for at, decision in enumerate(several):
                        self.decisions[component][part.code, revision.letter, component, at] = decision
                        if decision.decision == Decision.APPROVED:
                            self.approved[component].add(part.code)
                            if revision.visible:
                                self.sold[component].add(part.code)

    def found(self) -> Gaps:
        for end in End:
            by_axle: dict[str, list[Variant]] = defaultdict(list)
            for variant in self.facts.variants:
                if (code := variant.axle(end)) is not None:
                    by_axle[code].append(variant)
            for code, variants in by_axle.items():
                self._look_at(end, self.facts.axles[code], variants)
        return Gaps(
            joints=_ordered(self.joints),
            contradictions=[self.contradictions[key] for key in sorted(self.contradictions)],
            unreached=[
                DecisionGap(*key[:3], decision)
                for component in sorted(self.decisions)
                for key, decision in self.decisions[component].items()
                if not self._is_reached(component, key)
            ],
            empty=_ordered(self.empty),
            unmeasured=[
                (component, sorted(parts))
                for component, parts in sorted(self.approved.items())
                if component not in self.measured
            ],
            closed=_ordered(self.closed),
            too_many=sorted(self.too_many),
        )

    def _is_reached(self, component: str, key: DecisionKey) -> bool:
        return key in self.reached if component in self.by_condition else component in self.seen

    def _look_at(self, end: str, axle: Axle, variants: Sequence[Variant]) -> None:
        for location in axle.locations:
            joints = axle.joints.get(location, ())
            components = {joint.component for joint in joints}
            conditions = [one.conditions for component in components for one in self.decisions[component].values()]
            for several in equivalent_variants(variants, joints, conditions):
                region = self._region(several[0])
                site = region.sites[end, location]
                if site is None:
                    continue
                try:
                    self._look(region, several, site)
                except TooMuchWork:
                    self.too_many.update((variant.code, location) for variant in several)

    def _region(self, variant: Variant) -> VariantRegion:
        if variant.code not in self.regions:
            region = variant_region(self.facts, self.derivations, variant, EVERY_CAR)
            assert region is not None, "a car of which nothing is stated is possible"  # noqa: S101 - states a fact
            self.regions[variant.code] = region
        return self.regions[variant.code]

    def _look(self, region: VariantRegion, several: Sequence[Variant], site: JointSite) -> None:
        """Looks at the possible cars of one variant, which stands for several."""
        residuals = self._residuals(region, site)
        bits, cuts = site.bits, set(site.cuts)
        for residual in residuals.values():
            bits |= residual.bits
            cuts.update(residual.cuts())
        lacking = with_one = False
        for cell in region.cells(bits, cuts):
            state = site.state(cell.first, cell.mask)
            if state is CONFLICT:
                gap = _gap(self.joints, site)
                together = self._together(region, site, cell.first, cell.mask)
                gap.add(several, (joint.component for joint in together))
                gap.joints.update(together)
                continue
            lacking, with_one = lacking or not state, with_one or bool(state)
            for component in state:
                self._decided(several, component, residuals, cell.first, cell.mask)
            self.seen.update(state)
            sold = [component for component in state if self.sold.get(component)]
            if sold and (site.axle, site.place[1]) not in self.ways:
                _gap(self.closed, site).add(several, sold)
        if lacking and site.in_range:
            gap = _gap(self.empty, site)
            gap.add(several, ())
            gap.every = gap.every and not with_one

    def _together(self, region: VariantRegion, site: JointSite, day: int, mask: int) -> list[Joint]:
        """The joint rows of a site that hold on a day, with these options."""
        place = {"axle": site.axle, "location": site.place[1]}
        found = []
        for joint in self.facts.axles[site.axle].joints[site.place[1]]:
            residual = residual_of(joint.conditions, region.variant, self.derivations.bits, place)
            first, last = span(joint.window)
            if residual is not None and first <= day <= last and residual.holds(day, mask):
                found.append(joint)
        return found

    def _residuals(self, region: VariantRegion, site: JointSite) -> Mapping[DecisionKey, Residual]:
        """The decisions on components of a site that may hold for a variant; none where all hold always."""
        place = {"axle": site.axle, "location": site.place[1]}
        found = {}
        for component in {row.component for row in site.rows}:
            if component not in self.by_condition and not self._opposed(component):
                continue
            for key, decision in self.decisions[component].items():
                residual = residual_of(decision.conditions, region.variant, self.derivations.bits, place)
                if residual is not None:
                    found[key] = residual
        return found

    def _opposed(self, component: str) -> bool:
        """Whether a component has both approvals and rejections."""
        words = {one.decision for one in self.decisions.get(component, {}).values()}
        return words.issuperset(DECIDED)

    def _decided(
        self, several: Sequence[Variant], component: str, residuals: Mapping[DecisionKey, Residual], day: int, mask: int
    ) -> None:
        """Which decisions hold on some car with a component, and which of them speak against each other."""
        holding = [key for key, residual in residuals.items() if key[2] == component and residual.holds(day, mask)]
        self.reached.update(holding)
        if len(holding) < 2:
            return
        of = self.decisions[component]
        for one in holding:
            for other in holding:
                if one[:3] == other[:3] and (of[one].decision, of[other].decision) == DECIDED:
                    gap = self.contradictions.setdefault((one, other), DecisionGap(*one[:3], of[one], of[other]))
                    gap.variants.update(variant.code for variant in several)


def _gap(of: dict[AxlePlace, PlaceGap], site: JointSite) -> PlaceGap:
    end, location = site.place
    return of.setdefault((site.axle, location), PlaceGap(site.axle, end, location))


def _ordered(of: Mapping[AxlePlace, PlaceGap]) -> list[PlaceGap]:
    return [of[place] for place in sorted(of)]


def equivalent_variants(
    variants: Iterable[Variant], joints: Collection[Joint], conditions: Collection[Conditions]
) -> Iterator[Sequence[Variant]]:
    """Variants with one axle, in groups: all of a group have the same components, and meet the same conditions, on
    the same days and with the same options.

    joints: the rows of the place. conditions: whatever else is asked there of a car.
    """
    clauses = [clause for one in (*(joint.conditions for joint in joints), *conditions) for clause in one.clauses]
    names = {clause.attribute for clause in clauses if clause.option is None}
    by_options = any(clause.option is not None for clause in clauses)
    by_day = DayAttribute.BUILT in names or any(joint.window != ALWAYS for joint in joints)
    texts = sorted(names.difference([DayAttribute.BUILT], OF_PLACE))
    groups: dict[Hashable, list[Variant]] = defaultdict(list)
    for variant in variants:
        read: list[Hashable] = [variant.value(name) for name in texts]
        if by_options:
            read += variant.options, variant.standard
        if by_day:
            read += variant.built_from, variant.built_to
        groups[tuple(read)].append(variant)
    yield from groups.values()
