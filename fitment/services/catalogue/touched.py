"""What a change could touch: worked out from the rows that change, before any answer is computed.

Wider than what really changes is right, narrower never.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from catalog.sheets.sheet import Sheet
from catalog.workbook.draft import Draft, RowChange

AxlePlace = tuple[str, str]
"""An axle and the code of a location."""

# Columns that no answer of a car known by its variant, and no plan, reads.
UNREAD = {
    "variants": {"kerb_mass_kg", "front_mass_share", "wheelbase_mm", "cg_height_mm", "track_mm", "in_operation"},
    "components": {"title", "construction", "radial_stiffness_n_mm"},
    "joints": {"tell_apart"},
    "fit_decisions": {"orientation_deg", "orientation_from", "remark"},
    "test_fits": {"side", "findings", "serial", "holder", "out_on", "back_on", "km"},
    "revisions": {"released_on", "change", "reason", "radial_stiffness_n_mm"},
    "holds": {"cause", "look_for"},
    "parts": {
        "title", "duty", "sealed", "kit_pieces", "bench_skill", "first_inspection_km", "interval_km", "play_limit_mm",
        "comfort", "upkeep",
    },
    "options": {"title"},
    "axles": {"title"},
    "technologies": {"title"},
    "materials": {"title"},
    "operations": {"title", "text", "watch_for", "skill", "consumables", "hazards", "alignment"},
    "equipment": {"title", "home", "least_grade"},
}  # fmt: skip


@dataclass
class Touched:
    """Cars by code; all parts at a place of an axle, or at an axle; parts, or a part on a component, wherever
    the component sits; components with all parts; operations by axle."""

    variants: set[str] = field(default_factory=set)
    axles: set[str] = field(default_factory=set)
    places: set[AxlePlace] = field(default_factory=set)
    parts: set[str] = field(default_factory=set)
    pairs: set[tuple[str, str]] = field(default_factory=set)
    components: set[str] = field(default_factory=set)

    def __bool__(self) -> bool:
        return bool(self.variants or self.axles or self.places or self.parts or self.pairs or self.components)


def touched_by(draft: Draft) -> Touched:
    """What the rows that change could touch."""
    touched = Touched()
    for name, changes in draft.changes.items():
        sheet = draft.sheets[name]
        for change in changes:
            if _is_read(sheet, change):
                for row in (change.before, change.after):
                    if row is not None:
                        _touch(draft, touched, sheet, change, sheet.named(row))
    return touched


def _is_read(sheet: Sheet, change: RowChange) -> bool:
    if change.before is None or change.after is None:
        return True
    unread = UNREAD.get(sheet.name, set())
    return any(
        one != other and column.name not in unread
        for column, one, other in zip(sheet.columns, change.before, change.after, strict=True)
    )


def _touch(draft: Draft, touched: Touched, sheet: Sheet, change: RowChange, row: dict[str, str]) -> None:
    match sheet.name:
        case "variants":
            touched.variants.add(row["variant"])
            _tested_on(draft, touched, row["variant"])
        case "axles":
            touched.axles.add(row["axle"])
        case "options":
            touched.variants.update(_variants_with_option(draft, row["option"]))
        case "joints" | "axle_locations" | "ways":
            touched.places.add((row["axle"], row["location"]))
        case "operations":
            touched.axles.add(row["axle"])
        case "equipment":
            _uses_equipment(draft, touched, row["equipment"])
        case "fit_decisions":
            touched.pairs.add((row["part"], row["component"]))
        case "test_fits":
            touched.pairs.add((row["part"], row["component"]))
        case "parts" | "revisions" | "holds":
            touched.parts.add(row["part"])
        case "technologies":
            touched.parts.update(_keys_with(draft, "parts", "technology", row["technology"]))
        case "components":
            _same_process(draft, touched, row["component"])
        case "measurements":
            _same_process(draft, touched, row["component"])
        case "materials":
            touched.components.update(_keys_with(draft, "components", "arm_material", row["material"]))
            touched.parts.update(_keys_with(draft, "revisions", "material", row["material"]))


def _keys_with(draft: Draft, name: str, column: str, value: str) -> Iterable[str]:
    """The first key part of the rows with a value in a column, now or then."""
    return {key[0] for rows in (draft.now(name), draft.rows(name)) for key in rows.where(**{column: value})}


def _variants_with_option(draft: Draft, option: str) -> Iterable[str]:
    sheet = draft.sheets["variants"]
    columns = [sheet.index[name] for name in ("options", "standard_options")]
    return {
        key[0]
        for rows in (draft.now("variants"), draft.rows("variants"))
        for key, row in rows.items()
        if any(option in row[at].split(" ") for at in columns)
    }


def _tested_on(draft: Draft, touched: Touched, variant: str) -> None:
    """Test fits count by the drivetrain and the steering side of the car they were done on."""
    get = draft.sheets["test_fits"].get
    for row in draft.rows("test_fits").where(variant=variant).values():
        touched.pairs.add((get(row, "part"), get(row, "component")))


def _same_process(draft: Draft, touched: Touched, component: str) -> None:
    """A component, and those whose spread is pooled with its own."""
    get = draft.sheets["components"].get
    touched.components.add(component)
    if not any(rows.any(component=component) for rows in (draft.now("measurements"), draft.rows("measurements"))):
        return
    for rows in (draft.now("components"), draft.rows("components")):
        own = rows.find((component,))
        process = get(own, "process") if own else ""
        if process:
            touched.components.update(key[0] for key in rows.where(process=process))


def _uses_equipment(draft: Draft, touched: Touched, code: str) -> None:
    for name, column, into in (("operations", "equipment", touched.axles), ("parts", "bench_equipment", touched.parts)):
        at = draft.sheets[name].index[column]
        for rows in (draft.now(name), draft.rows(name)):
            into.update(key[0] for key, row in rows.items() if code in row[at].replace(";", " ").split())
