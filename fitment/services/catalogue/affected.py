"""What a change could affect: worked out from the rows that change, before any answer is computed.

Wider than what really changes is right, narrower never.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Q

from catalog.models import Joint
from catalog.models import Variant as VariantRow
from catalog.sheets.sheet import Sheet
from catalog.workbook.draft import Draft, RowChange
from fitment.domain.facts import Place, Variant
from fitment.models import FitDecision

AxlePlace = tuple[str, str]
"""An axle and the code of a location."""
EVERYWHERE = ""  # stands for every location of an axle

# Columns that no answer of a car known by its variant, and no plan, reads.
UNREAD = {
    sheet: frozenset(columns.split())
    for sheet, columns in {
        "variants": "kerb_mass_kg front_mass_share wheelbase_mm cg_height_mm track_mm in_operation",
        "components": "title construction radial_stiffness_n_mm",
        "joints": "tell_apart",
        "fit_decisions": "orientation_deg orientation_from remark",
        "test_fits": "side findings serial holder out_on back_on km",
        "revisions": "released_on change reason radial_stiffness_n_mm",
        "holds": "cause look_for",
        "parts": "title duty sealed kit_pieces bench_skill first_inspection_km interval_km play_limit_mm"
        " comfort upkeep",
        "options": "title",
        "axles": "title",
        "technologies": "title",
        "materials": "title",
        "operations": "title text watch_for skill consumables hazards alignment",
        "equipment": "title home least_grade",
    }.items()
}


@dataclass
class Affected:
    """Cars by code; all parts at a place of an axle, or at an axle; parts, or a part on a component, wherever
    the component sits; components with all parts."""

    variants: set[str] = field(default_factory=set)
    axles: set[str] = field(default_factory=set)
    places: set[AxlePlace] = field(default_factory=set)
    parts: set[str] = field(default_factory=set)
    pairs: set[tuple[str, str]] = field(default_factory=set)
    components: set[str] = field(default_factory=set)


@dataclass
class Scope:
    """By axle and location the codes of the parts affected (None: all), and the cars affected as a whole."""

    cells: dict[str, dict[str, set[str] | None]] = field(default_factory=lambda: defaultdict(dict))
    variants: set[str] = field(default_factory=set)

    def add(self, axle: str, location: str, part: str | None) -> None:
        parts = self.cells[axle].setdefault(location, set())
        if part is None:
            self.cells[axle][location] = None
        elif parts is not None:
            parts.add(part)

    def wants(self, variant: Variant, place: Place, part: str) -> bool:
        """Whether the answer of a car at a place could change."""
        if variant.code in self.variants:
            return True
        end, location = place
        by_location = self.cells.get(variant.axle(end) or "", {})
        return any(
            at in by_location and (by_location[at] is None or part in (by_location[at] or ()))
            for at in (EVERYWHERE, location)
        )

    def parts(self) -> set[str] | None:
        """The parts whose facts are read, None for all."""
        found: set[str] = set()
        for by_location in self.cells.values():
            for parts in by_location.values():
                if parts is None:
                    return None
                found |= parts
        return found

    def locations(self) -> set[str] | None:
        """The location codes whose joints are read, None for all."""
        found = {location for by_location in self.cells.values() for location in by_location}
        return None if EVERYWHERE in found else found

    def cars(self) -> list[str]:
        """The variants with an axle in the scope, by code, without those affected as a whole."""
        axles = list(self.cells)
        rows = VariantRow.objects.filter(Q(front_axle__code__in=axles) | Q(rear_axle__code__in=axles))
        return [code for code in rows.order_by("code").values_list("code", flat=True) if code not in self.variants]


def scope_of(draft: Draft) -> Scope:
    """The scope of what a draft affects, by the joints and decisions that stand now.

    A joint or decision that comes with the change is itself affected, so what stands now is enough.
    """
    affected = affected_by(draft)
    scope = Scope(variants=set(affected.variants))
    for axle in affected.axles:
        scope.add(axle, EVERYWHERE, None)
    for axle, location in affected.places:
        scope.add(axle, location, None)
    rows = FitDecision.objects.filter(revision__part__code__in=affected.parts).order_by()
    pairs = affected.pairs | set(rows.values_list("revision__part__code", "component__code").distinct())
    parts_on: dict[str, set[str]] = defaultdict(set)
    for part, component in pairs:
        parts_on[component].add(part)
    sits = Joint.objects.filter(component__code__in={*parts_on, *affected.components}).order_by()
    for axle, location, component in sits.values_list("axle__code", "location__code", "component__code").distinct():
        if component in affected.components:
            scope.add(axle, location, None)
        for part in parts_on.get(component, ()):
            scope.add(axle, location, part)
    return scope


def affected_by(draft: Draft) -> Affected:
    """What the rows that change could affect."""
    affected = Affected()
    for name, changes in draft.changes.items():
        sheet = draft.sheets[name]
        for change in changes:
            for row in (change.before, change.after) if _is_read(sheet, change) else ():
                if row is not None:
                    _add(draft, affected, sheet.name, sheet.named(row))
    return affected


def _is_read(sheet: Sheet, change: RowChange) -> bool:
    if change.before is None or change.after is None:
        return True
    unread = UNREAD.get(sheet.name, frozenset())
    return any(
        one != other and column.name not in unread
        for column, one, other in zip(sheet.columns, change.before, change.after, strict=True)
    )


def _add(draft: Draft, affected: Affected, sheet: str, row: dict[str, str]) -> None:
    match sheet:
        case "variants":
            affected.variants.add(row["variant"])
            # Test fits count by the drivetrain and the steering side of the car they were done on.
            get = draft.sheets["test_fits"].get
            for test in draft.rows("test_fits").where(variant=row["variant"]).values():
                affected.pairs.add((get(test, "part"), get(test, "component")))
        case "axles" | "operations":
            affected.axles.add(row["axle"])
        case "options":
            for column in ("options", "standard_options"):
                affected.variants.update(_keys_naming(draft, "variants", column, row["option"]))
        case "joints" | "axle_locations" | "ways":
            affected.places.add((row["axle"], row["location"]))
        case "equipment":
            affected.axles.update(_keys_naming(draft, "operations", "equipment", row["equipment"]))
            affected.parts.update(_keys_naming(draft, "parts", "bench_equipment", row["equipment"]))
        case "fit_decisions" | "test_fits":
            affected.pairs.add((row["part"], row["component"]))
        case "parts" | "revisions" | "holds":
            affected.parts.add(row["part"])
        case "technologies":
            affected.parts.update(_keys_with(draft, "parts", "technology", row["technology"]))
        case "components" | "measurements":
            _add_process(draft, affected, row["component"])
        case "materials":
            affected.components.update(_keys_with(draft, "components", "arm_material", row["material"]))
            affected.parts.update(_keys_with(draft, "revisions", "material", row["material"]))


def _keys_with(draft: Draft, name: str, column: str, value: str) -> Iterable[str]:
    """The first key part of the rows with a value in a column, now or then."""
    return {key[0] for rows in (draft.now(name), draft.rows(name)) for key in rows.where(**{column: value})}


def _keys_naming(draft: Draft, name: str, column: str, code: str) -> Iterable[str]:
    """The first key part of the rows in whose list or groups a code stands, now or then."""
    at = draft.sheets[name].index[column]
    return {
        key[0]
        for rows in (draft.now(name), draft.rows(name))
        for key, row in rows.items()
        if code in row[at].replace(";", " ").split()
    }


def _add_process(draft: Draft, affected: Affected, component: str) -> None:
    """A component, and those whose spread is pooled with its own."""
    get = draft.sheets["components"].get
    affected.components.add(component)
    if not any(rows.any(component=component) for rows in (draft.now("measurements"), draft.rows("measurements"))):
        return
    for rows in (draft.now("components"), draft.rows("components")):
        own = rows.find((component,))
        process = get(own, "process") if own else ""
        if process:
            affected.components.update(key[0] for key in rows.where(process=process))
