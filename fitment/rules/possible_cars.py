"""The possible cars of a description, a room a variant: its days, its option sets, what is stated there. Pure.

A room is taken apart into cells: stretches of days times values of those option groups that somebody reads.
Groups that nobody reads are counted, never expanded.
"""

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
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
from fitment.rules.component import Seat, State, seat
from fitment.rules.reading import NEVER_ENDS, OptionBits, span

MOST_CELLS = 100_000
OPEN_WINDOW_DAYS = timedelta(days=365)


Weight = Fraction | int


@dataclass(frozen=True, slots=True)
class Group:
    """The allowed values of one option group (or ungrouped option) of a variant, as masks.

    `values` are those that agree with what is stated, `size` counts them before; `bits` are its options.
    """

    bits: int
    values: tuple[int, ...]
    size: int


@dataclass(frozen=True, slots=True)
class Cell:
    """Days `first` to `last` with the options of `mask`; `share` counts option sets, by alternatives left."""

    first: int
    last: int
    mask: int
    share: Weight


@dataclass
class Room:
    """The possible cars of one variant.

    `first` and `last` are the days left, `horizon` the day on which the window ends for weights; `fixed` has the
    standard options. `stated` has the seats whose component is stated, with that component.
    """

    variant: Variant
    first: int
    last: int
    horizon: int
    fixed: int
    groups: tuple[Group, ...]
    stated: tuple[tuple[Seat, str], ...]
    seat_at: Mapping[Place, Seat | None]
    _cells: dict[tuple[int, frozenset[int]], tuple[Cell, ...]] = field(default_factory=dict)

    @cached_property
    def stated_bits(self) -> int:
        bits = 0
        for seat_, _ in self.stated:
            bits |= seat_.bits
        return bits

    @cached_property
    def stated_cuts(self) -> frozenset[int]:
        return frozenset().union(*(seat_.cuts for seat_, _ in self.stated))

    @cached_property
    def unit(self) -> Fraction:
        """The weight of one option set on one day: cars in operation over days and option sets."""
        days = self.horizon - self.variant.built_from.toordinal() + 1
        sets = prod(group.size for group in self.groups)
        return Fraction(self.variant.in_operation or 1, days * sets)

    def weight(self, cell: Cell) -> Weight:
        """The weight of a cell in units of the room; days after the horizon weigh nothing."""
        days = min(cell.last, self.horizon) - cell.first + 1
        return cell.share * days if days > 0 else 0

    def cells(self, bits: int = 0, cuts: Iterable[int] = ()) -> tuple[Cell, ...]:
        """The possible cars in the coarsest pieces on which neither these options nor these days change.

        What the stated components read is always taken apart. Raises TooMuchWork.
        """
        read = closed(self.groups, bits | self.stated_bits)
        days = frozenset(cuts) | self.stated_cuts
        key = (read, days)
        if key not in self._cells:
            self._cells[key] = tuple(self._taken_apart(read, days))
        return self._cells[key]

    def _taken_apart(self, read: int, cuts: Iterable[int]) -> Iterator[Cell]:
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
                    yield Cell(start, after - 1, mask, counted * share)

    def _share(self, day: int, mask: int) -> Weight:
        """The share of the alternatives that the stated components leave; nought where they are not there."""
        share: Weight = 1
        for seat_, component in self.stated:
            state = seat_.state(day, mask)
            if not state or component not in state:
                return 0
            if len(state) > 1:
                share = share * Fraction(1, len(state))
        return share

    def state(self, place: Place, day: int, mask: int) -> State:
        """What may sit at a place, as stated; a place the car does not have is without a component."""
        seat_ = self.seat_at[place]
        if seat_ is None:
            return ()
        for stated, component in self.stated:
            if stated is seat_:
                return (component,)
        return seat_.state(day, mask)

    @cached_property
    def bare(self) -> tuple[Cell, ...]:
        """The cells that only what is stated takes apart."""
        return self.cells()

    @property
    def pieces(self) -> int:
        """How many cells the room has been taken apart into so far."""
        return sum(map(len, self._cells.values()))

    def allowed(self, group: Group) -> tuple[int, ...]:
        """The values of a group that some possible car has."""
        if not group.bits & self.stated_bits:
            return group.values
        seen = {cell.mask & group.bits for cell in self.bare}
        return tuple(value for value in group.values if value in seen)


class Rooms:
    """All possible cars of a description, and what reading them has in common."""

    def __init__(self, facts: Facts, description: Description) -> None:
        self.facts = facts
        self.description = description
        self.bits = OptionBits(facts.options)
        stated = Stated.of(description)
        found = (room_of(facts, self.bits, variant, stated) for variant in facts.variants)
        self.rooms = [room for room in found if room is not None]
        self.weights: dict[str, Mapping[Hashable, Weight]] = {}
        """By attribute: the weight of each answer."""
        self._scale = lcm(*(room.unit.denominator for room in self.rooms))

    def weight(self, room: Room, in_units: Weight) -> Weight:
        """A weight in units of a room, made comparable with those of other rooms."""
        return in_units * room.unit.numerator * (self._scale // room.unit.denominator)

    def __iter__(self) -> Iterator[Room]:
        return iter(self.rooms)

    def __len__(self) -> int:
        return len(self.rooms)


@dataclass(frozen=True, slots=True)
class Stated:
    """A description as each variant is held against it: attributes with their values, days, options, joints."""

    texts: tuple[tuple[str, str], ...]
    window: Window
    options: Mapping[str, bool]
    components: tuple[tuple[Place, str], ...]

    @classmethod
    def of(cls, description: Description) -> "Stated":
        # A variant's own code is called `variant` where it is stated.
        texts = (("code" if name == "variant" else name, value) for name, value in description.texts().items())
        return cls(tuple(texts), description.window(), dict(description.options), description.components)


def room_of(facts: Facts, bits: OptionBits, variant: Variant, stated: Stated) -> Room | None:
    """The possible cars of one variant, or None when it has none."""
    for name, value in stated.texts:
        if getattr(variant, name) != value:
            return None
    left = stated.window & Window(variant.built_from, variant.built_to)
    if stated.window.is_empty or left.is_empty:
        return None
    groups = option_groups(facts.options, bits, variant, stated.options)
    if groups is None:
        return None
    first, last = span(left)
    seats = Seats(facts, bits, variant)
    joints: list[tuple[Seat, str]] = []
    for place, component in stated.components:
        found = seats[place]
        if found is None:
            return None
        joints.append((found, component))
    room = Room(
        variant=variant,
        first=first,
        last=last,
        horizon=horizon(variant, stated.window, facts),
        fixed=bits.mask(variant.standard),
        groups=groups,
        stated=tuple(joints),
        seat_at=seats,
    )
    return room if not joints or room.bare else None


class Seats(dict[Place, Seat | None]):
    """The seats of a variant, each worked out when it is first asked for."""

    def __init__(self, facts: Facts, bits: OptionBits, variant: Variant) -> None:
        super().__init__()
        self._facts, self._bits, self._variant = facts, bits, variant

    def __missing__(self, place: Place) -> Seat | None:
        self[place] = found = seat(self._facts, self._bits, self._variant, place)
        return found


def horizon(variant: Variant, window: Window, facts: Facts) -> int:
    """The day on which a variant's window ends for weights."""
    if variant.built_to is not None:
        return variant.built_to.toordinal()
    bounds = [facts.as_of, variant.built_from + OPEN_WINDOW_DAYS, window.first, window.last]
    return max(bound.toordinal() for bound in bounds if bound is not None)


def option_groups(
    options: Mapping[str, Option], bits: OptionBits, variant: Variant, stated: Mapping[str, bool]
) -> tuple[Group, ...] | None:
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
        groups.append(Group(mask, left, len(values)))
    return tuple(groups)


def closed(groups: Sequence[Group], bits: int) -> int:
    """The options of the groups that hold one of these."""
    return sum(group.bits for group in groups if group.bits & bits)


def finite(last: int) -> int | None:
    """An ordinal, or None for an open end."""
    return None if last == NEVER_ENDS else last
