"""The fewest sizes that serve all, and the best few of them: exact in one dimension."""

from collections.abc import Sequence
from fractions import Fraction

from fitment.engineering.tolerances import Interval


def pierce(intervals: Sequence[Interval]) -> list[float]:
    """The fewest sizes such that every interval holds one.

    Args:
        intervals: sizes that serve each, in mm
    Returns: the sizes in mm, rising; of equally few sets the one of right ends
    Notes: Ends belong to the intervals. Greedy by right end is optimal in one dimension: the intervals that open a new
        size are disjoint, so that no set can be smaller.
    References: Cormen et al., Introduction to Algorithms, section 16.1 (greatest disjoint set = least piercing set).

    >>> pierce([Interval(1, 2), Interval(2, 3), Interval(3, 4)])
    [2, 4]
    """
    sizes: list[float] = []
    for interval in sorted(intervals, key=lambda interval: (interval.high, interval.low)):
        if not sizes or interval.low > sizes[-1]:
            sizes.append(interval.high)
    return sizes


def most_reached(intervals: Sequence[Interval], weights: Sequence[Fraction | float], at_most: int) -> list[float]:
    """At most so many sizes that together reach the most weight.

    Args:
        intervals: sizes that serve each, in mm
        weights: what serving each is worth, such as cars; not negative
        at_most: number of sizes, not negative
    Returns: sizes in mm, rising, all of them right ends; fewer than allowed where more would reach nothing
    Notes: Dynamic programme over the right ends: what a size adds after the size before it are the intervals that hold
        it and begin after that one, whatever went before. Exact; a greedy choice of the heaviest size first is not.
    References: Maximum coverage by points on a line; checked against every set of right ends.

    >>> most_reached([Interval(1, 3), Interval(2, 5), Interval(4, 7), Interval(6, 8)], [3, 4, 4, 3], 2)
    [3, 7]
    """
    ends = sorted({interval.high for interval in intervals})
    nothing: tuple[Fraction | float, list[float]] = (0, [])
    best = [nothing] * (len(ends) + 1)
    # best[j]: the most weight with so many sizes of which ends[j - 1] is the last; best[0]: no size at all.
    overall = nothing
    added = [
        [_gain(intervals, weights, ends[before - 1] if before else None, end) for before in range(at + 1)]
        for at, end in enumerate(ends)
    ]
    for count in range(min(at_most, len(ends))):
        following = [nothing]
        for at, end in enumerate(ends):
            befores = range(at + 1) if count == 0 else range(1, at + 1)
            choices = [(best[before][0] + added[at][before], before) for before in befores]
            weight, before = max(choices, key=lambda choice: (choice[0], -choice[1]), default=(0, 0))
            following.append((weight, [*best[before][1], end] if choices else []))
        best = following
        overall = max([overall, *best], key=lambda found: found[0])
    return overall[1]


def _gain(
    intervals: Sequence[Interval], weights: Sequence[Fraction | float], before: float | None, size: float
) -> Fraction | float:
    reached = (
        weight
        for interval, weight in zip(intervals, weights, strict=True)
        if size in interval and (before is None or interval.low > before)
    )
    return sum(reached, start=0)
