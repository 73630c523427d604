"""Coverage: which cars have a part, how near the others are to one, and what to do first."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from fractions import Fraction

from fitment.coverage.cells import Cell, cells_of
from fitment.coverage.counting import CellKey, counted
from fitment.coverage.platforms import PlatformRow, platforms_of
from fitment.coverage.waiting import WaitingCars, waiting_cars
from fitment.coverage.work import WorkRow, work_of
from fitment.domain.interfaces import RevisionInterface, demands_of
from fitment.engineering.families import Family, Uncovered, family_of
from fitment.readers.editions import kept_for_edition
from fitment.readers.interfaces import read_component_sizes, read_demands, read_matching, read_revisions
from fitment.readers.whole import cells_facts, places_not_offered, read_enquiries, whole_facts, whole_matching

CELLS_KEPT = 256


@dataclass(frozen=True)
class Coverage:
    """All cells of the catalogue, and the same by platform and location."""

    cells: tuple[Cell, ...]
    platforms: tuple[PlatformRow, ...]


@kept_for_edition(entries=1)
def coverage() -> Coverage:
    """The coverage matrix of the whole catalogue."""
    matching = whole_matching()
    facts = whole_facts(matching)
    counts = counted(facts)
    cells = cells_of(facts, counts, matching, places_not_offered())
    return Coverage(cells, platforms_of(cells, counts))


@kept_for_edition(entries=CELLS_KEPT)
def waiting(key: CellKey) -> tuple[WaitingCars, ...]:
    """The uncovered cars of one cell by what tells them apart, most cars first."""
    return waiting_cars(cells_facts([key.axle], [key.component]), [key])[key]


def waiting_of(cells: Collection[Cell]) -> Iterator[tuple[Cell, WaitingCars]]:
    """The same of many cells, in their order (a constant number of queries)."""
    keys = [cell.key for cell in cells if cell.count.whole.some_uncovered]
    axles, components = {key.axle for key in keys}, {key.component for key in keys}
    groups = waiting_cars(cells_facts(axles, components), keys)
    for cell in cells:
        for group in groups.get(cell.key, ()):
            yield cell, group


def cells_now(keys: Collection[CellKey]) -> dict[CellKey, Cell]:
    """These cells as the catalogue stands, also inside a transaction that changes it (a constant number of queries).

    A key that is no cell of the catalogue is left out.
    """
    if not keys:
        return {}
    axles, components = {key.axle for key in keys}, {key.component for key in keys}
    matching = read_matching(components, None, axles)
    facts = cells_facts(axles, components, matching)
    counts = counted(facts, frozenset(keys))
    return {cell.key: cell for cell in cells_of(facts, counts, matching, places_not_offered())}


def order_of_work() -> tuple[WorkRow, ...]:
    """Every cell that waits, the best score first."""
    return work_of(coverage().cells, read_enquiries())


def size_families(*, parts: list[str] | None = None, bodies_at_most: int | None = None) -> list[Family]:
    """The smallest sets of new sizes, a family a blank; of some parts where named."""
    cars: dict[str, Fraction] = defaultdict(Fraction)
    for cell in coverage().cells:
        if cell.waits:
            cars[cell.key.component] += cell.uncovered
    sizes, demands = read_component_sizes(list(cars)), read_demands(list(cars))
    waiting = [Uncovered(sizes[code].component, demands_of(demands.get(code, [])), cars[code]) for code in sorted(cars)]
    return [family_of(blank, waiting, bodies_at_most) for blank in blanks(parts)]


def blanks(parts: list[str] | None) -> list[RevisionInterface]:
    """By part with a pressed seat and a blank: its newest visible revision, else its newest prototype."""
    by_part: dict[str, list[RevisionInterface]] = defaultdict(list)
    for revision in read_revisions(parts):
        if revision.seat == "pressed" and revision.blank.outside is not None:
            by_part[revision.part].append(revision)
    found = []
    for revisions in by_part.values():
        visible = [one for one in revisions if one.visible]
        prototypes = [one for one in revisions if one.status == "prototype"]
        found += (visible or prototypes)[-1:]
    return found
