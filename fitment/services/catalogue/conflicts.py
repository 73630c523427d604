"""What is amiss in the catalogue, looked up once an edition."""

from dataclasses import dataclass

from fitment.readers.coverage import (
    AimlessNumber,
    read_aimless_numbers,
    read_everything,
    read_measured,
    read_ways,
    read_worked_axles,
)
from fitment.readers.editions import kept_for_edition
from fitment.rules.gaps import Gaps, gaps


@dataclass(frozen=True, slots=True)
class Conflicts:
    """What contradicts itself or is missing.

    `aimless`: numbers that stand for nothing known; `worked`: the axles with operations, of which a way can be made.
    """

    gaps: Gaps
    aimless: list[AimlessNumber]
    worked: frozenset[str]


@kept_for_edition(entries=1)
def catalogue_conflicts() -> Conflicts:
    """Everything amiss in the catalogue as it stands, over all possible cars."""
    found = gaps(read_everything(), ways=read_ways(), measured=read_measured())
    return Conflicts(found, read_aimless_numbers(), read_worked_axles())
