"""How hard a job is, 1 to 5, and what makes it so."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitment.domain.procedures import Operation, Workshop
from fitment.job.access import BenchWork
from fitment.job.operation_graph import used

EASIEST, HARDEST = 1, 5
ALIGNMENT_GRADE = 2
# minutes of one side that are more than this -> grade
LONG = ((180, 4), (90, 3))


@dataclass(frozen=True, slots=True)
class Grade:
    """The grade, and all that reach it: `skill:axle/code`, `bench:PART`, `equipment:CODE`, `hazard:CODE`,
    `alignment`, `time`; nothing at 1."""

    value: int
    set_by: tuple[str, ...]


Cause = tuple[int, str]


def time_grade(side_minutes: Fraction) -> int:
    """The grade of the minutes that one side takes, with bench and without after-work.

    >>> time_grade(Fraction(90)), time_grade(Fraction(91)), time_grade(Fraction(181))
    (1, 3, 4)
    """
    return next((grade for least, grade in LONG if side_minutes > least), EASIEST)


def operation_causes(workshop: Workshop, operation: Operation, equipment: frozenset[str]) -> Iterator[Cause]:
    """What an operation done here asks for, each with its grade."""
    yield operation.skill, f"skill:{operation.name}"
    if operation.alignment:
        yield ALIGNMENT_GRADE, "alignment"
    yield from _equipment(workshop, (*used(operation.equipment, equipment), *operation.consumables))
    for code in operation.hazards:
        if code in workshop.hazards:
            yield workshop.hazards[code].least_grade or EASIEST, f"hazard:{code}"


def bench_causes(workshop: Workshop, work: BenchWork, equipment: frozenset[str]) -> Iterator[Cause]:
    """What bench work asks for; nothing where it is done elsewhere."""
    if not work.elsewhere:
        yield work.bench.skill, f"bench:{work.part}"
        yield from _equipment(workshop, used(work.bench.equipment, equipment))


def _equipment(workshop: Workshop, codes: Iterable[str]) -> Iterator[Cause]:
    for code in codes:
        if code in workshop.equipment:
            yield workshop.equipment[code].least_grade or EASIEST, f"equipment:{code}"


def grade(
    workshop: Workshop,
    operations: Iterable[Operation],
    bench: Sequence[BenchWork],
    equipment: frozenset[str],
    side_minutes: Fraction,
) -> Grade:
    """The grade of a plan's operations done here, its bench work and the minutes of one side."""
    causes: list[Cause] = [(time_grade(side_minutes), "time")]
    for operation in operations:
        causes.extend(operation_causes(workshop, operation, equipment))
    for work in bench:
        causes.extend(bench_causes(workshop, work, equipment))
    value = max(EASIEST, *(reached for reached, _ in causes))
    set_by = {cause for reached, cause in causes if reached == value} if value > EASIEST else set()
    return Grade(value, tuple(sorted(set_by)))
