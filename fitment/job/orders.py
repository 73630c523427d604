"""The order of work: of what is ready, the smallest code first. Nodes are numbered by their sorted codes."""

from collections.abc import Sequence

from fitment.job.min_cost_set import Groups, bits


def in_order(nodes: int, needs: Sequence[Groups], done: int = 0) -> list[int]:
    """The nodes of a set in an order in which each comes after one node of each of its groups.

    needs: per node its groups, each met by a node in front of it or of `done`. A set that cannot be put in an order
    is a ValueError: a plan never is one.

    >>> in_order(0b111, ((0b010,), (0b100,), ()))
    [2, 1, 0]
    """
    waiting, order = nodes, []
    while waiting:
        for node in bits(waiting):
            if all(group & done for group in needs[node]):
                break
        else:
            raise ValueError("these rest on each other")
        waiting ^= 1 << node
        done |= 1 << node
        order.append(node)
    return order
