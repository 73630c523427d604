"""The order of work as it is read: each cell that waits with the terms of its score and the load at its joint."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import CoverageState
from fitment.coverage.counting import CellKey
from fitment.coverage.summaries import WorkRow
from fitment.engineering.constants import CARS_PER_ENQUIRY, EFFORT_DAYS
from fitment.pages.coverage.matrix import cell_address, whole
from fitment.readers.names import names
from fitment.services.coverage.loads import JointLoad, joint_loads
from fitment.text.coverage import LABELS

PER_ENQUIRY = int(CARS_PER_ENQUIRY.value)


@dataclass(frozen=True, slots=True)
class WorkLine:
    axle: str
    location: str
    title: str
    component: str
    href: str
    state: CoverageState
    word: str
    uncovered: str
    enquiries: int
    days: int
    score: str
    braking_kn: str
    share: str
    nearest: tuple[tuple[str, str], ...]


def work_lines(rows: Sequence[WorkRow]) -> list[WorkLine]:
    """The rows in words; loads are estimates of the corner, where it is modelled."""
    loads = loads_of(rows)
    found = []
    for row in rows:
        key = row.cell.key
        load = loads.get(key)
        found.append(
            WorkLine(
                key.axle, key.location, names().location(row.cell.end, key.location), key.component,
                cell_address(key.axle, key.location, key.component), row.cell.state, LABELS[row.cell.state],
                whole(row.cell.uncovered), row.enquiries, row.effort_days, whole(row.score),
                f"{load.braking_n / 1000:.1f}" if load else "", f"{load.share:.0%}" if load else "", row.cell.by[:2],
            )
        )  # fmt: skip
    return found


def loads_of(rows: Sequence[WorkRow]) -> dict[CellKey, JointLoad]:
    """The load at the joint of each row, where it is known."""
    places = {(row.cell.key.axle, row.cell.key.location, row.cell.key.component): row.cell.key for row in rows}
    return {places[place]: load for place, load in joint_loads(tuple(places)).items()}


def effort_table() -> list[tuple[CoverageState, str, int, str]]:
    """State, word, days, source."""
    return [
        (CoverageState(name), LABELS[CoverageState(name)], int(days.value), days.source)
        for name, days in EFFORT_DAYS.items()
    ]
