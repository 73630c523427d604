"""Coverage: which cars have a part, how near the others are to one, and what to do first."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db import transaction

from catalog.codes import Role, Seat, Status
from catalog.models import Component, Joint, Location
from catalog.workbook import editions
from catalog.workbook.report import Report
from fitment.coverage.cells import CoverageCell, cells_of
from fitment.coverage.counting import CellKey, count_cells
from fitment.coverage.summaries import PlatformCoverage, WorkRow, platforms_of, work_of
from fitment.coverage.uncovered_groups import UncoveredGroup, uncovered_groups
from fitment.domain.interfaces import RevisionInterface, demands_of
from fitment.engineering.families import Family, Uncovered, family_of
from fitment.models import FitDecision, Stance, TestFit
from fitment.readers.coverage import cells_facts, places_not_offered, read_enquiries, whole_facts, whole_matching
from fitment.readers.editions import kept_for_edition
from fitment.readers.interfaces import read_component_sizes, read_demands, read_matching, read_revisions
from fitment.services.catalogue.rows import WAIT, row_edit

CELLS_KEPT = 256


@dataclass(frozen=True)
class Coverage:
    """All cells of the catalogue, and the same by platform and location."""

    cells: tuple[CoverageCell, ...]
    platforms: tuple[PlatformCoverage, ...]


@kept_for_edition(entries=1)
def coverage() -> Coverage:
    """The coverage matrix of the whole catalogue."""
    matching = whole_matching()
    facts = whole_facts(matching)
    counts = count_cells(facts)
    cells = cells_of(facts, counts, matching, places_not_offered())
    return Coverage(cells, platforms_of(cells, counts))


@kept_for_edition(entries=CELLS_KEPT)
def groups_of_cell(key: CellKey) -> tuple[UncoveredGroup, ...]:
    """The uncovered cars of one cell by what tells them apart, most cars first."""
    return uncovered_groups(cells_facts([key.axle], [key.component]), [key])[key]


def groups_of_cells(cells: Collection[CoverageCell]) -> Iterator[tuple[CoverageCell, UncoveredGroup]]:
    """The same of many cells, in their order (a constant number of queries)."""
    keys = [cell.key for cell in cells if cell.count.whole.some_uncovered]
    axles, components = {key.axle for key in keys}, {key.component for key in keys}
    groups = uncovered_groups(cells_facts(axles, components), keys)
    for cell in cells:
        for group in groups.get(cell.key, ()):
            yield cell, group


def cells_now(keys: Collection[CellKey]) -> dict[CellKey, CoverageCell]:
    """These cells as the catalogue stands, also inside a transaction that changes it (a constant number of queries).

    A key that is no cell of the catalogue is left out.
    """
    if not keys:
        return {}
    axles, components = {key.axle for key in keys}, {key.component for key in keys}
    matching = read_matching(components, None, axles)
    facts = cells_facts(axles, components, matching)
    counts = count_cells(facts, frozenset(keys))
    return {cell.key: cell for cell in cells_of(facts, counts, matching, places_not_offered())}


def links_of_joints() -> dict[tuple[str, str], str]:
    """The link of each joint in our range, by end and location."""
    rows = Location.objects.filter(in_range=True).order_by("topology__code", "pk")
    return {(end, code): link for end, code, link in rows.values_list("topology__end", "code", "link")}


@dataclass(frozen=True)
class CellRecord:
    """What is recorded of a cell beside the facts that it is counted from."""

    component: Component
    stance: Stance | None
    decisions: list[FitDecision]
    test_fits: list[TestFit]


def cell_record(key: CellKey) -> CellRecord:
    """The component, the stance on the place, the decisions on the component, the test fits here, newest first."""
    decisions = FitDecision.objects.filter(component__code=key.component).select_related("revision__part")
    fits = TestFit.objects.filter(
        axle__code=key.axle, location__code=key.location, component__code=key.component
    ).select_related("revision__part", "variant", "component")
    return CellRecord(
        Component.objects.get(code=key.component),
        Stance.objects.filter(axle__code=key.axle, location__code=key.location).first(),
        list(decisions.order_by("revision__part__code", "revision__letter", "decision")),
        list(fits.order_by("-done_on", "ref")),
    )


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
        if revision.seat == Seat.PRESSED and revision.blank.outside is not None:
            by_part[revision.part].append(revision)
    found = []
    for revisions in by_part.values():
        visible = [one for one in revisions if one.visible]
        prototypes = [one for one in revisions if one.status == Status.PROTOTYPE]
        found += (visible or prototypes)[-1:]
    return found


# The columns by which a row of each sheet names the cells it is about.
_NAMED_BY: Mapping[str, tuple[str, ...]] = {
    "fit_decisions": ("component",),
    "measurements": ("component",),
    "test_fits": ("axle", "location", "component"),
    "stances": ("axle", "location"),
}
_PATHS = {"axle": "axle__code", "location": "location__code", "component": "component__code"}


@dataclass(frozen=True, slots=True)
class CellChange:
    """A cell before and after; both are equal in what is compared where it stays as it is."""

    before: CoverageCell
    after: CoverageCell

    @property
    def changes(self) -> bool:
        return _compared(self.before) != _compared(self.after)


def row_preview(
    *, sheet: str, values: Mapping[str, Any], actor: Any, role: Role
) -> tuple[Report, tuple[CellChange, ...]]:
    """A row added or changed by its key, nothing stored: what it does to the answers and to the cells it is about.

    Of a decision and a measurement these are all cells of the component, of a stance those of the place. Raises as
    `row_edit`.
    """
    after: dict[CellKey, CoverageCell] = {}

    def look() -> None:
        after.update(cells_now(_cells_of(sheet, values)))

    with transaction.atomic():
        editions.catalogue_lock(wait=WAIT)  # nothing comes between the two looks
        report = row_edit(sheet=sheet, key=None, values=values, actor=actor, role=role, check=True, then=look)
        before = cells_now(after)
    return report, tuple(CellChange(before[key], cell) for key, cell in after.items())


def _cells_of(sheet: str, values: Mapping[str, Any]) -> list[CellKey]:
    columns = _NAMED_BY.get(sheet)
    if columns is None:
        return []
    rows = Joint.objects.filter(**{_PATHS[name]: values[name] for name in columns}).order_by()
    return [CellKey(*row) for row in rows.values_list(*_PATHS.values()).distinct()]


def _compared(cell: CoverageCell) -> tuple[Any, ...]:
    return cell.state, cell.by, cell.basis, cell.conflict, cell.cars, cell.covered
