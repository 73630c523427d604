"""Everything needed on the bench first: equipment, drives, counter-holds, torque wrenches."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fitment.domain.procedures import Operation
from fitment.job.access import BenchWork
from fitment.job.fasteners import FastenerLine
from fitment.job.operation_graph import used
from fitment.job.torque_wrenches import torque_wrenches

EQUIPMENT, DRIVE, COUNTER_HOLD = "equipment", "drive", "counter_hold"
TORQUE_WRENCH, TORQUE_BEYOND = "torque_wrench", "torque_beyond"


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool. kind: one of the above; code: the equipment's, the drive's, the range or torque in N m; usual: every
    drive of the kind is its standard's, none recorded."""

    kind: str
    code: str
    usual: bool = False


def equipment_used(
    operations: Iterable[Operation], bench: Iterable[BenchWork], equipment: frozenset[str]
) -> tuple[str, ...]:
    """The pieces of equipment that work done here uses, sorted."""
    codes: set[str] = set()
    for operation in operations:
        codes.update(used(operation.equipment, equipment))
    for work in bench:
        if not work.elsewhere:
            codes.update(used(work.bench.equipment, equipment))
    return tuple(sorted(codes))


def fastener_tools(lines: Sequence[FastenerLine]) -> list[Tool]:
    """Drives, counter-holds and torque wrenches of the fasteners, sorted within each kind."""
    recorded = {line.drive for line in lines if line.drive and not line.usual}
    proposed = {line.drive for line in lines if line.drive and line.usual}
    tools = [Tool(DRIVE, code, code not in recorded) for code in sorted(recorded | proposed, key=_by_size)]
    holds = {line.counter_hold for line in lines if line.counter_hold}
    tools += [Tool(COUNTER_HOLD, code) for code in sorted(holds, key=_by_size)]
    wrenches, beyond = torque_wrenches(line.torque_nm for line in lines if line.torque_nm)
    tools += [Tool(TORQUE_WRENCH, f"{least}-{most}") for least, most in wrenches]
    tools += [Tool(TORQUE_BEYOND, f"{torque.normalize():f}") for torque in beyond]
    return tools


def _by_size(code: str) -> tuple[str, float, str]:
    """`8 hex` before `13 hex`, E and T by number."""
    digits = "".join(c for c in code if c.isdigit() or c == ".")
    rest = "".join(c for c in code if not c.isdigit() and c != ".").strip()
    try:
        return rest, float(digits), code
    except ValueError:
        return rest, 0.0, code
