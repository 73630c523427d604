"""Columns and rows of a graph without rings, drawn from left to right. Pure."""

from collections.abc import Callable, Collection, Mapping, Sequence


def longest_chains(names: Collection[str], before: Mapping[str, Sequence[str]]) -> dict[str, int]:
    """The column of each name: one right of the last of those among the names that stand before it.

    >>> longest_chains("abc", {"a": [], "b": ["a"], "c": ["a", "b"]})
    {'a': 0, 'b': 1, 'c': 2}
    """
    depths: dict[str, int] = {}

    def depth(name: str, under_way: frozenset[str]) -> int:
        if name not in depths:
            # A ring, which no plan and no chain has, would end at its first name.
            earlier = [each for each in before.get(name, ()) if each in names and each not in under_way]
            depths[name] = 1 + max((depth(each, under_way | {name}) for each in earlier), default=-1)
        return depths[name]

    return {name: depth(name, frozenset()) for name in names}


def near_rows(
    columns: Mapping[str, int],
    before: Mapping[str, Sequence[str]],
    order: Callable[[str], object],
    *,
    dense: bool = False,
) -> dict[str, int]:
    """Column by column a row for each name, as near as may be to the rows of what stands before it.

    `order` decides between names that would have the same row; in a `dense` column of several no row is left free.
    """
    rows: dict[str, int] = {}
    for column in sorted(set(columns.values())):
        here = [name for name in columns if columns[name] == column]
        wanted = {name: _middle([rows[each] for each in before.get(name, ()) if each in rows]) for name in here}
        taken = -1
        for name in sorted(here, key=lambda name: (wanted[name], order(name))):
            nearest = 0 if dense and len(here) > 1 else round(wanted[name])
            rows[name] = taken = max(taken + 1, nearest)
    return rows


def _middle(rows: Sequence[int]) -> float:
    return sum(rows) / len(rows) if rows else 0.0
