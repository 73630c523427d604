"""The uncovered cars of a cell by what tells them apart, in the language of conditions. Pure.

What may tell them apart are the attributes, options and build days that the decisions on the component read, and
the drivetrain and steering side that its test fits there read. The cars of one group are those of the cell that
meet its conditions, all of them uncovered, and the same stands against each and speaks for each.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Annotated

from catalog.codes import Basis, YesNo
from catalog.conditions import ATTRIBUTES, BUILT, OF_PLACE, OPTION, Clause, Conditions
from catalog.windows import Window, write_range
from fitment.answers.contract import INLINE, As, Cars, Revisions
from fitment.coverage.component_verdicts import ComponentVerdicts, RevisionKey, VerdictReader
from fitment.coverage.counting import CellKey, sites
from fitment.coverage.partition import Box, Point, partition
from fitment.domain.description import Description
from fitment.domain.facts import Facts, Part, Revision, Variant
from fitment.rules.basis import fitted
from fitment.rules.joint_site import JointSite
from fitment.rules.outcome import tests_at
from fitment.rules.possible_cars import CarSpace, VariantRegion
from fitment.rules.residual import NEVER_BEGAN, NEVER_ENDS, day_of, span

_EVIDENCE = ("drivetrain", "steering")


@dataclass(frozen=True)
class GroupVerdicts:
    """What stands against the revisions on some uncovered cars, and what speaks for them.

    `rejected` by a decision, `failed` in a test that stands, `proposed` by a decision (a prototype also approved),
    `tried`: passed there on a car of the same drivetrain and steering side.
    """

    rejected: Revisions = ()
    failed: Revisions = ()
    proposed: Revisions = ()
    tried: Revisions = ()


@dataclass(frozen=True)
class UncoveredGroup:
    """Uncovered cars of a cell: all of it that meet the conditions; none: every car. `variants` by code."""

    conditions: Annotated[Conditions, As(str, str)]
    cars: Cars
    variants: tuple[str, ...]
    verdicts: Annotated[GroupVerdicts, INLINE]


@dataclass
class _PointCars:
    """The cars at one point: what stands, None where they are covered."""

    verdicts: GroupVerdicts | None
    cars: Fraction = Fraction(0)
    variants: set[str] = field(default_factory=set)


class _Axes:
    """What is read of the cars of a cell: a coordinate an attribute or option, and the last one for the build day."""

    def __init__(self, candidates: Iterable[tuple[Part, Revision]], key: CellKey) -> None:
        names: set[str] = set()
        cuts: set[int] = set()
        for _, revision in candidates:
            if tests_at(revision, key.component, key.axle, key.location):
                names.update(_EVIDENCE)
            for decision in revision.decisions.get(key.component, ()):
                for clause in decision.conditions.clauses:
                    names.add(clause.attribute)
                    for first, last in map(span, clause.windows):
                        cuts.update((first, last + 1))
        self.texts = [name for name in ATTRIBUTES if name in names and name not in (*OF_PLACE, BUILT)]
        self.options = sorted(name.removeprefix(OPTION) for name in names if name.startswith(OPTION))
        self.cuts = sorted(cut for cut in cuts if NEVER_BEGAN < cut <= NEVER_ENDS)

    @property
    def days_at(self) -> int:
        """The coordinate of the build day: how many of the cuts lie at or before it."""
        return len(self.texts) + len(self.options)

    @property
    def dropping(self) -> list[int]:
        """What is left unsaid first: options and single cars tell a reader least, the maker most."""
        rank = {name: at for at, name in enumerate(self.texts)}
        texts = sorted(rank.values(), reverse=True)
        if "variant" in rank:
            texts = [rank["variant"], *(at for at in texts if at != rank["variant"])]
        return [*range(len(self.texts), self.days_at), self.days_at, *texts]

    def point(self, variant: Variant, space: CarSpace, day: int, mask: int) -> Point:
        texts = [variant.value(name) for name in self.texts]
        has = [YesNo.YES.value if mask & space.bits.bit(code) else YesNo.NO.value for code in self.options]
        return (*texts, *has, bisect_right(self.cuts, day))

    def conditions(self, box: Box[GroupVerdicts]) -> Conditions:
        """A box in the canonical form of conditions."""
        clauses = []
        names = [*self.texts, *(OPTION + code for code in self.options)]
        for name, side in zip(names, box.sides, strict=False):
            if side is not None:
                clauses.append(Clause(name, negated=False, values=frozenset(map(str, side))))
        days = box.sides[self.days_at]
        if days is not None:
            clauses.append(Clause(BUILT, negated=False, windows=self._windows(days)))
        return Conditions.of(clauses)

    def _windows(self, stretches: Iterable[Hashable]) -> tuple[Window, ...]:
        """The days of stretches between cuts, neighbours joined."""
        starts, ends = [NEVER_BEGAN, *self.cuts], [*(cut - 1 for cut in self.cuts), NEVER_ENDS]
        joined: list[list[int]] = []
        for at in sorted(at for at in stretches if isinstance(at, int)):
            if joined and joined[-1][1] == at - 1:
                joined[-1][1] = at
            else:
                joined.append([at, at])
        windows = (Window(day_of(starts[first]), day_of(ends[last])) for first, last in joined)
        return tuple(sorted(windows, key=write_range))


def uncovered_groups(facts: Facts, keys: Collection[CellKey]) -> dict[CellKey, tuple[UncoveredGroup, ...]]:
    """The groups of each of these cells, most cars first; none where all are covered."""
    return _GroupCount(facts, keys).groups()


class _GroupCount:
    """One walk through the possible cars of some cells."""

    def __init__(self, facts: Facts, keys: Collection[CellKey]) -> None:
        self.keys = frozenset(keys)
        self.space = CarSpace(facts, Description())
        self.reader = VerdictReader(self.space)
        self.axes = {key: _Axes(self.reader.candidates(key.component), key) for key in sorted(self.keys)}
        self.points: dict[CellKey, dict[Point, _PointCars]] = defaultdict(dict)
        for region in self.space:
            for site in (site for site in sites(region, facts) if site.in_range):
                for component in {row.component for row in site.rows}:
                    key = CellKey(site.axle, site.place[1], component)
                    if key in self.keys:
                        self._count(region, site, key)

    def _count(self, region: VariantRegion, site: JointSite, key: CellKey) -> None:
        verdicts, axes = self.reader.at(region, site, key.component), self.axes[key]
        bits = site.bits | verdicts.bits | self.space.bits.mask(axes.options)
        tried = self._tried(region.variant, key)
        points = self.points[key]
        for cell in region.cells(bits, site.cuts | verdicts.cuts | set(axes.cuts)):
            state = site.state(cell.first, cell.mask)
            if not state or key.component not in state:
                continue
            point = axes.point(region.variant, self.space, cell.first, cell.mask)
            found = points.get(point)
            if found is None:
                found = points[point] = _PointCars(_verdicts(verdicts, cell.first, cell.mask, tried))
            found.cars += region.unit * region.weight(cell) / len(state)
            found.variants.add(region.variant.code)

    def _tried(self, variant: Variant, key: CellKey) -> tuple[RevisionKey, ...]:
        return tuple(
            (part.code, revision.letter)
            for part, revision in self.reader.candidates(key.component)
            if fitted(revision, key.component, key.axle, key.location, variant) is Basis.FITTED
        )

    def groups(self) -> dict[CellKey, tuple[UncoveredGroup, ...]]:
        return {key: _grouped(self.axes[key], self.points.get(key, {})) for key in self.axes}


def _verdicts(verdicts: ComponentVerdicts, day: int, mask: int, tried: tuple[RevisionKey, ...]) -> GroupVerdicts | None:
    if verdicts.covering(day, mask):
        return None
    return GroupVerdicts(
        tuple(one.key for one in verdicts.revisions if one.rejects(day, mask)),
        tuple(one.key for one in verdicts.revisions if one.fails(day, mask)),
        tuple(one.key for one in verdicts.revisions if one.proposes(day, mask)),
        tried,
    )


def _grouped(axes: _Axes, points: dict[Point, _PointCars]) -> tuple[UncoveredGroup, ...]:
    labels = {point: found.verdicts for point, found in sorted(points.items())}
    groups = []
    for box in partition(labels, axes.dropping, {axes.days_at: range(len(axes.cuts) + 1)}):
        there = [points[point] for point in box.points]
        groups.append(
            UncoveredGroup(
                axes.conditions(box),
                sum((one.cars for one in there), start=Fraction(0)),
                tuple(sorted(set().union(*(one.variants for one in there)))),
                box.label,
            )
        )
    return tuple(sorted(groups, key=lambda one: (-one.cars, str(one.conditions))))
