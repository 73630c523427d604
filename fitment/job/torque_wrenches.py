"""The fewest torque wrenches for a set of torques."""

from collections.abc import Iterable
from decimal import Decimal
from itertools import combinations

# N m; ISO 6789-1:2017: a wrench is specified from 20 % to 100 % of its maximum (from memory)
RANGES = ((5, 25), (20, 100), (40, 200), (100, 500))


def covers(wrench: tuple[int, int], torque_nm: Decimal) -> bool:
    """Whether a torque in N m lies in a wrench's range, ends included."""
    return wrench[0] <= torque_nm <= wrench[1]


def torque_wrenches(torques_nm: Iterable[Decimal]) -> tuple[list[tuple[int, int]], list[Decimal]]:
    """The fewest wrenches that cover all torques, and the torques that none covers, ascending; N m.

    Of several sets equally few the one with the smaller wrenches, compared from the smallest up.

    >>> torque_wrenches([Decimal(110), Decimal(30), Decimal(900)])
    ([(20, 100), (40, 200)], [Decimal('900')])
    """
    torques = sorted(set(torques_nm))
    beyond = [torque for torque in torques if not any(covers(wrench, torque) for wrench in RANGES)]
    inside = [torque for torque in torques if torque not in beyond]
    for count in range(len(RANGES) + 1):
        for chosen in combinations(RANGES, count):
            if all(any(covers(wrench, torque) for wrench in chosen) for torque in inside):
                return list(chosen), beyond
    raise AssertionError("all wrenches together cover what some wrench covers")
