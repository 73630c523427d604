"""The order of work: of what is ready, the smallest code first."""

from collections.abc import Iterable, Mapping


def in_order(
    names: Iterable[str], needs: Mapping[str, Iterable[frozenset[str]]], done: Iterable[str] = ()
) -> list[str]:
    """The names in an order in which each comes after one name of each of its groups.

    needs: per name its groups, each met by a name in front of it or in `done`; a name that is not among the keys
    needs nothing. A set that cannot be put in an order is a ValueError: a plan never is one.

    >>> in_order(["b", "a", "c"], {"a": [frozenset("b"), frozenset("cx")]})
    ['b', 'c', 'a']
    """
    waiting, finished, order = sorted(set(names)), set(done), []
    while waiting:
        ready = next((n for n in waiting if all(group & finished for group in needs.get(n, ()))), None)
        if ready is None:
            raise ValueError(f"no order: {', '.join(waiting)} rest on each other")
        waiting.remove(ready)
        finished.add(ready)
        order.append(ready)
    return order
