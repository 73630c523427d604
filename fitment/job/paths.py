"""The least way in to some places of a ground, whatever part goes there: searched once, kept on the ground."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitment.domain.procedures import Way
from fitment.job.min_cost_set import Groups, bits, founded, least_set
from fitment.job.operation_graph import Ground
from fitment.job.orders import in_order

MOST_KEPT = 2000


@dataclass(frozen=True, slots=True)
class Target:
    """A place to reach; `in_place`: ways that leave the piece in the car will do (its bench work can be done here)."""

    axle: str
    location: str
    in_place: bool = True


@dataclass(frozen=True, slots=True)
class Path:
    """Operations in removal order, after-work in order, what of it is elsewhere, the way of each target; minutes."""

    operations: tuple[str, ...]
    after: tuple[str, ...]
    elsewhere: frozenset[str]
    ways: tuple[str, ...]
    minutes: Fraction
    after_minutes: Fraction
    proven: bool
    branches: int


def ways_to(ground: Ground, target: Target) -> list[tuple[Way, Groups]]:
    """The ways that will do for a target, by code, with their groups."""
    found = ground.ways(target.axle, target.location)
    return found if target.in_place else [(way, groups) for way, groups in found if way.piece_out]


def least_path(ground: Ground, targets: tuple[Target, ...], barred: int, node_limit: int) -> Path | None:
    """The least plan that reaches all targets without the barred operations, or None."""
    key = (targets, barred, node_limit)
    kept: tuple[Path | None] | None = ground.kept.get(key)
    if kept is None:
        if len(ground.kept) >= MOST_KEPT:
            ground.kept.clear()
        kept = ground.kept[key] = (_search(ground, targets, barred, node_limit),)
    return kept[0]


def _search(ground: Ground, targets: Sequence[Target], barred: int, node_limit: int) -> Path | None:
    asked = [
        [tuple(group << ground.lift for group in groups) for _, groups in ways_to(ground, target)] for target in targets
    ]
    found = least_set(ground.prepared(barred), asked, node_limit=node_limit)
    if found is None:
        return None
    members = found.nodes & ((1 << len(ground.names)) - 1)
    ways, reached = rests_on(ground, targets, members)
    rest = members & ~reached
    return Path(
        operations=tuple(ground.names[node] for node in in_order(reached, ground.need_masks)),
        after=tuple(ground.names[node] for node in in_order(rest, ground.need_masks, done=reached)),
        elsewhere=ground.named(members & ~ground.here),
        ways=tuple(ways),
        minutes=Fraction(sum(ground.minutes[node] for node in bits(reached)), ground.scale),
        after_minutes=Fraction(sum(ground.minutes[node] for node in bits(rest)), ground.scale),
        proven=found.proven,
        branches=found.branches,
    )


def rests_on(ground: Ground, targets: Sequence[Target], members: int) -> tuple[list[str], int]:
    """The way of each target (the first by code that will do), and all members that they rest on."""
    here = members & ground.here
    ways, reached = [], 0
    for target in targets:
        for way, groups in ways_to(ground, target):
            if not all(group & here for group in groups):
                continue
            base = _closure(groups, ground.need_masks, here)
            if founded(ground.need_masks, base) == base:
                ways.append(way.code)
                reached |= base
                break
    return ways, reached


def _closure(groups: Groups, needs: Sequence[Groups], here: int) -> int:
    """The nodes of `here` named by groups, those that the needs of such nodes name, and so on."""
    reached, waiting = 0, 0
    for group in groups:
        waiting |= group & here
    while waiting:
        reached |= waiting
        named = 0
        for node in bits(waiting):
            for group in needs[node]:
                named |= group
        waiting = named & here & ~reached
    return reached
