"""Points told apart by plain descriptions: for each coordinate any value, or some. Pure."""

from collections.abc import Collection, Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

Point = tuple[Hashable, ...]
L = TypeVar("L", bound=Hashable)


@dataclass(frozen=True)
class Box(Generic[L]):
    """A description: the values allowed of each coordinate, None: any; with the points described and their label."""

    label: L
    sides: tuple[frozenset[Hashable] | None, ...]
    points: tuple[Point, ...]


def partition(
    labels: Mapping[Point, L | None], dropping: Sequence[int], whole: Mapping[int, Collection[Hashable]] | None = None
) -> list[Box[L]]:
    """Boxes that hold every labelled point once and only points of their own label; points labelled None are in none.

    Each box is as wide as it can be. Coordinates that need not be read are dropped, in the order of `dropping`. The
    others hold the values that points of the label have there; those in `whole` every value listed, also where no
    point has it. Not proven fewest.

    >>> [found] = partition({("awd", "yes"): "open", ("awd", "no"): "open", ("rwd", "no"): None}, (1, 0))
    >>> found.sides
    (frozenset({'awd'}), None)
    """
    found: list[Box[L]] = []
    taken: set[Point] = set()
    for point, label in labels.items():
        if label is None or point in taken:
            continue
        own = [other for other, its in labels.items() if its == label and other not in taken]
        foreign = [other for other, its in labels.items() if its != label or other in taken]
        sides = _grown(point, own, foreign, dropping, whole or {})
        held = tuple(other for other in own if _inside(other, sides))
        taken.update(held)
        found.append(Box(label, tuple(sides), held))
    return found


def _grown(
    point: Point,
    own: Sequence[Point],
    foreign: Sequence[Point],
    dropping: Sequence[int],
    whole: Mapping[int, Collection[Hashable]],
) -> list[frozenset[Hashable] | None]:
    """The sides of a box around a point that no foreign point is in."""
    sides: list[frozenset[Hashable] | None] = [frozenset((value,)) for value in point]
    for at in dropping:
        if not any(_inside(other, sides, but=at) for other in foreign):
            sides[at] = None
    for at, side in enumerate(sides):
        if side is not None:
            blocked = {other[at] for other in foreign if _inside(other, sides, but=at)}
            free = whole[at] if at in whole else {other[at] for other in own if _inside(other, sides, but=at)}
            sides[at] = frozenset(free) - blocked
    return sides


def _inside(point: Point, sides: Sequence[frozenset[Hashable] | None], but: int = -1) -> bool:
    return all(side is None or at == but or point[at] in side for at, side in enumerate(sides))
