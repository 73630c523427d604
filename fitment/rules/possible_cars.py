"""The possible cars of a description, a region a variant: its days, its option sets, what is stated there. Pure.

A region is taken apart into cells: stretches of days times values of those option groups that somebody reads.
Groups that nobody reads are counted, never expanded.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from fractions import Fraction
from functools import cached_property
from itertools import product
from math import lcm, prod

from catalog.windows import Window
from fitment.domain.description import Description
from fitment.domain.facts import Facts, Option, Place, Variant
from fitment.errors import TooMuchWork
from fitment.rules.derivations import Derivations
from fitment.rules.joint_site import JointSite, State
from fitment.rules.residual import NEVER_ENDS, OptionBits, span

MOST_CELLS = 100_000
OPEN_WINDOW_DAYS = timedelta(days=365)


Weight = Fraction | int


@dataclass(frozen=True, slots=True)
class OptionGroup:
    """The allowed values of one option group (or ungrouped option) of a variant, as masks.

    `values` are those that agree with what is stated, `size` counts them before; `bits` are its options.
    """

    bits: int
    values: tuple[int, ...]
    size: int


@dataclass(frozen=True, slots=True)
class CarCell:
    """Days `first` to `last` with the options of `mask`; `share` counts option sets, by alternatives left."""

    first: int
    last: int
    mask: int
    share: Weight


@dataclass(eq=False)
class VariantRegion:
    """The possible cars of one variant: its region of the car space.

    `first` and `last` are the days left, `horizon` the day on which the window ends for weights; `fixed` has the
    standard options. `stated` has the sites whose component is stated, with that component.
    """

    variant: Variant
    first: int
    last: int
    horizon: int
    fixed: int
    groups: tuple[OptionGroup, ...]
    stated: tuple[tuple[JointSite, str], ...]
    sites: Mapping[Place, JointSite | None]
    _partitions: dict[tuple[int, frozenset[int]], tuple[CarCell, ...]] = field(default_factory=dict)

    @cached_property
    def stated_bits(self) -> int:
        bits = 0
        for site, _ in self.stated:
            bits |= site.bits
        return bits

    @cached_property
    def stated_cuts(self) -> frozenset[int]:
        return frozenset().union(*(site.cuts for site, _ in self.stated))

    @cached_property
    def unit(self) -> Fraction:
        """The weight of one option set on one day: cars in operation over days and option sets."""
        days = self.horizon - self.variant.built_from.toordinal() + 1
        sets = prod(group.size for group in self.groups)
        return Fraction(self.variant.in_operation or 1, days * sets)

    def weight(self, cell: CarCell) -> Weight:
        """The weight of a cell in units of the region; days after the horizon weigh nothing."""
        days = min(cell.last, self.horizon) - cell.first + 1
        return cell.share * days if days > 0 else 0

    def cells(self, bits: int = 0, cuts: Iterable[int] = ()) -> tuple[CarCell, ...]:
        """The possible cars in the coarsest pieces on which neither these options nor these days change.

        What the stated components read is always taken apart. Raises TooMuchWork.
        """
        read = closed(self.groups, bits | self.stated_bits)
        days = self.stated_cuts.union(cuts)
        key = (read, days)
        if key not in self._partitions:
            self._partitions[key] = tuple(self._partition(read, days))
        return self._partitions[key]

    def _partition(self, read: int, cuts: Iterable[int]) -> Iterator[CarCell]:
        counted = 1
        masks = [self.fixed]
        for group in self.groups:
            if group.bits & read:
                masks = [mask | value for mask, value in product(masks, group.values)]
            else:
                counted *= len(group.values)
            if len(masks) > MOST_CELLS:
                raise TooMuchWork
        starts = sorted({self.first, *(cut for cut in cuts if self.first < cut <= self.last)})
        if len(masks) * len(starts) > MOST_CELLS:
            raise TooMuchWork
        for start, after in zip(starts, [*starts[1:], self.last + 1], strict=True):
            for mask in masks:
                share = self._share(start, mask)
                if share:
                    yield CarCell(start, after - 1, mask, counted * share)

    def _share(self, day: int, mask: int) -> Weight:
        """The share of the alternatives that the stated components leave; zero where they are not there."""
        share: Weight = 1
        for site, component in self.stated:
            state = site.state(day, mask)
            if not state or component not in state:
                return 0
            if len(state) > 1:
                share = share * Fraction(1, len(state))
        return share

    def state(self, place: Place, day: int, mask: int) -> State:
        """What may sit at a place, as stated; a place the car does not have is without a component."""
        site = self.sites[place]
        if site is None:
            return ()
        stated = self.stated_at(site)
        return site.state(day, mask) if stated is None else (stated,)

    def stated_at(self, site: JointSite) -> str | None:
        """The component stated there, or None."""
        if not self.stated:
            return None
        return next((component for stated, component in self.stated if stated is site), None)

    @cached_property
    def stated_cells(self) -> tuple[CarCell, ...]:
        """The cells that only what is stated takes apart."""
        return self.cells()

    @property
    def pieces(self) -> int:
        """How many cells the region has been taken apart into so far."""
        return sum(map(len, self._partitions.values()))

    def allowed(self, group: OptionGroup) -> tuple[int, ...]:
        """The values of a group that some possible car has."""
        if not group.bits & self.stated_bits:
            return group.values
        seen = {cell.mask & group.bits for cell in self.stated_cells}
        return tuple(value for value in group.values if value in seen)


class CarSpace:
    """All possible cars of a description, and what reading them has in common."""

    def __init__(self, facts: Facts, description: Description, derivations: Derivations | None = None) -> None:
        self.facts = facts
        self.description = description
        self.derivations = derivations or Derivations(facts)
        self.bits = self.derivations.bits
        stated = StatedFacts.of(description)
        found = (variant_region(facts, self.derivations, variant, stated) for variant in facts.variants)
        self.regions = [region for region in found if region is not None]
        self._scale = lcm(*(region.unit.denominator for region in self.regions))

    @cached_property
    def option_masks(self) -> list[int]:
        """The options of each group, and each ungrouped option, as masks."""
        groups: dict[tuple[str, str], int] = {}
        for code, one in self.facts.options.items():
            key = (one.group, "" if one.group else code)
            groups[key] = groups.get(key, 0) | self.bits.bit(code)
        return list(groups.values())

    @cached_property
    def required_masks(self) -> set[int]:
        """The options of each group of which every car has one, as masks."""
        required = self.bits.mask(code for code, one in self.facts.options.items() if one.group and one.required)
        return {mask for mask in self.option_masks if mask & required}

    def weight(self, region: VariantRegion, in_units: Weight) -> Weight:
        """A weight in units of a region, made comparable with those of other regions."""
        return in_units * region.unit.numerator * (self._scale // region.unit.denominator)

    def __iter__(self) -> Iterator[VariantRegion]:
        return iter(self.regions)

    def __len__(self) -> int:
        return len(self.regions)


@dataclass(frozen=True, slots=True)
class StatedFacts:
    """A description as each variant is held against it: attributes with their values, days, options, joints."""

    texts: tuple[tuple[str, str], ...]
    window: Window
    options: Mapping[str, bool]
    components: tuple[tuple[Place, str], ...]

    @classmethod
    def of(cls, description: Description) -> "StatedFacts":
        texts = tuple(description.texts().items())
        return cls(texts, description.window(), dict(description.options), description.components)


def variant_region(
    facts: Facts, derivations: Derivations, variant: Variant, stated: StatedFacts
) -> VariantRegion | None:
    """The possible cars of one variant, or None when it has none."""
    if any(variant.value(name) != value for name, value in stated.texts):
        return None
    left = stated.window & Window(variant.built_from, variant.built_to)
    if stated.window.is_empty or left.is_empty:
        return None
    groups = option_groups(facts.options, derivations.bits, variant, stated.options)
    if groups is None:
        return None
    first, last = span(left)
    sites = JointSites(derivations, variant)
    joints: list[tuple[JointSite, str]] = []
    for place, component in stated.components:
        found = sites[place]
        if found is None:
            return None
        joints.append((found, component))
    region = VariantRegion(
        variant=variant,
        first=first,
        last=last,
        horizon=horizon(variant, stated.window, facts),
        fixed=derivations.bits.mask(variant.standard),
        groups=groups,
        stated=tuple(joints),
        sites=sites,
    )
    return region if not joints or region.stated_cells else None


class JointSites(dict[Place, JointSite | None]):
    """The sites of a variant, each looked up when it is first asked for."""

    def __init__(self, derivations: Derivations, variant: Variant) -> None:
        super().__init__()
        self._derivations, self._variant = derivations, variant

    def __missing__(self, place: Place) -> JointSite | None:
        self[place] = found = self._derivations.site(self._variant, place)
        return found


def horizon(variant: Variant, window: Window, facts: Facts) -> int:
    """The day on which a variant's window ends for weights."""
    if variant.built_to is not None:
        return variant.built_to.toordinal()
    bounds = [facts.as_of, variant.built_from + OPEN_WINDOW_DAYS, window.first, window.last]
    return max(bound.toordinal() for bound in bounds if bound is not None)


def option_groups(
    options: Mapping[str, Option], bits: OptionBits, variant: Variant, stated: Mapping[str, bool]
) -> tuple[OptionGroup, ...] | None:
    """The groups in which a variant has a choice; None when what is stated leaves no value of one.

    Standard options are there, and beside one its group has no other value; of each other group none, or one of
    those the variant can have, and not none where the group is required; all options it cannot have are absent.
    """
    wanted = {code for code, present in stated.items() if present}
    if not wanted <= variant.options | variant.standard:
        return None
    yes = bits.mask(wanted)
    no = bits.mask(code for code, present in stated.items() if not present)
    taken = {options[code].group for code in variant.standard} - {""}
    members: dict[tuple[str, str], list[str]] = {}
    for code in sorted(variant.options - variant.standard):
        group = options[code].group
        if group not in taken:
            members.setdefault((group, "" if group else code), []).append(code)
    free = bits.mask(code for codes in members.values() for code in codes)
    fixed = bits.mask(variant.standard)
    if yes & ~(free | fixed) or no & fixed:
        return None
    groups = []
    for (group, _), codes in members.items():
        values = [bits.bit(code) for code in codes]
        if not (group and options[codes[0]].required):
            values.insert(0, 0)
        mask = bits.mask(codes)
        left = tuple(value for value in values if not value & no and value & yes == mask & yes)
        if not left:
            return None
        groups.append(OptionGroup(mask, left, len(values)))
    return tuple(groups)


def closed(groups: Sequence[OptionGroup], bits: int) -> int:
    """The options of the groups that hold one of these."""
    return sum(group.bits for group in groups if group.bits & bits)


def finite(last: int) -> int | None:
    """An ordinal, or None for an open end."""
    return None if last == NEVER_ENDS else last
