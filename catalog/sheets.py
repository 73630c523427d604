"""The sheets of the facts, in the columns of the contract."""

from decimal import Decimal

from catalog.codes import (
    Duty,
    End,
    EquipmentKind,
    Exchange,
    Hand,
    Head,
    IfAbsent,
    LinkEnd,
    LinkRole,
    NumberKind,
    Per,
    RevisionExchange,
    Rule,
    Seat,
    Side,
    Status,
    TightenAt,
)
from catalog.numbers import folded_form, normal_form
from catalog.vin import MASK
from catalog.workbook.columns import (
    choice,
    code,
    codes,
    conditions,
    day,
    grade,
    groups,
    iso_class,
    items,
    measure,
    number,
    own_code,
    pattern,
    taper,
    text,
    value,
    whole,
    window_from,
    window_to,
    word,
    yes_no,
)  # fmt: skip
from catalog.workbook.kinds import DecimalKind, PatternKind
from catalog.workbook.sheets import Column, Many, Place, Reference, Sheet

WMI = PatternKind(r"[A-HJ-NPR-Z0-9]{3}", "write three capital letters or digits, without I, O and Q")

AXLE = Reference(("axle",), "axles", "axle")
PART = Reference(("part",), "parts", "part")
REVISION = Reference(("part", "revision"), "revisions", "revision")
OPERATION = Reference(("axle", "operation"), "operations", "operation")
PLATFORM = Reference(("maker", "chassis"), "platforms", "platform")


def _range(low: str, high: str) -> tuple[Column, Column]:
    return measure(low), measure(high)


def _operation_groups(column: str, model: str, owner: str, item: str) -> Many:
    return Many(column, model, owner, item, "operations", scope=("axle",), grouped=True)


CATALOGUE = Sheet("catalogue", "catalog.Catalogue", (own_code("catalogue"), whole("edition"), day("as_of")))

MAKERS = Sheet(
    "makers", "catalog.Maker",
    (own_code("maker"), text("title", "!"), items("wmi", WMI, array=True)),
)  # fmt: skip

PLATFORMS = Sheet(
    "platforms", "catalog.Platform",
    (
        code("maker", "*"), code("chassis", "*"), text("title"), window_from("built_from", "!"), window_to("built_to"),
        code("predecessor"),
    ),
    references=(
        Reference(("maker",), "makers", "maker"),
        Reference(("maker", "predecessor"), "platforms", "predecessor", owns=("predecessor",)),
    ),
    ordered=(("built_from", "built_to"),),
)  # fmt: skip

TOPOLOGIES = Sheet(
    "topologies", "catalog.Topology",
    (own_code("topology"), choice("end", End.values, "!"), text("title", "!"), text("note")),
)  # fmt: skip

LOCATIONS = Sheet(
    "locations", "catalog.Location",
    (
        code("topology", "*"), own_code("location"), code("link", "!"), choice("link_end", LinkEnd.values, "!"),
        text("title", "!"), choice("role", LinkRole.values, "!"), yes_no("in_range"), text("also_called"),
    ),
    references=(Reference(("topology",), "topologies", "topology"),),
)  # fmt: skip

AXLES = Sheet(
    "axles", "catalog.Axle",
    (own_code("axle"), choice("end", End.values, "!"), code("topology", "!"), text("title")),
    references=(Reference(("topology",), "topologies", "topology"),),
)  # fmt: skip

OPTIONS = Sheet(
    "options", "catalog.Option",
    (own_code("option"), text("title", "!"), code("group"), yes_no("required")),
)  # fmt: skip

VARIANTS = Sheet(
    "variants", "catalog.Variant",
    (
        own_code("variant"), code("maker", "!"), code("chassis", "!"), value("designation", "!"), value("body", "!"),
        value("engine", "!"), value("drivetrain", "!"), value("steering", "!"), value("market", "!"),
        window_from("built_from", "!"), window_to("built_to"), code("front_axle"), code("rear_axle"),
        codes("options", ordered=False), codes("standard_options", ordered=False),
        measure("kerb_mass_kg", places=3), measure("front_mass_share", most=Decimal(1)),
        measure("wheelbase_mm", places=4), measure("cg_height_mm", places=4), measure("track_mm", places=4),
        whole("in_operation"),
    ),
    references=(
        PLATFORM,
        Reference(("front_axle",), "axles", "front_axle"),
        Reference(("rear_axle",), "axles", "rear_axle"),
    ),
    many=tuple(
        Many(
            column, "catalog.VariantOption", "variant", "option", "options", position=False,
            fixed={"standard": standard},
        )
        for column, standard in (("options", False), ("standard_options", True))
    ),
    ordered=(("built_from", "built_to"),),
)  # fmt: skip

VIN_PATTERNS = Sheet(
    "vin_patterns", "catalog.VinPattern",
    (
        pattern("wmi", WMI.pattern, WMI.right, "*"),
        pattern("mask", MASK, "write five signs: capital letters or digits without I, O and Q, or ?", "*"),
        codes("variants", "!", ordered=False),
    ),
    many=(Many("variants", "catalog.VinPatternVariant", "pattern", "variant", "variants", position=False),),
)  # fmt: skip

COMPONENTS = Sheet(
    "components", "catalog.Component",
    (
        own_code("component"), text("title", "!"), word("construction", "!"), word("process"),
        *_range("bore_min_mm", "bore_max_mm"), iso_class("bore_class"), measure("seat_length_mm"),
        *_range("clevis_gap_min_mm", "clevis_gap_max_mm"), measure("bolt_mm"), taper("taper"),
        measure("taper_large_mm"), measure("centre_offset_mm"), code("arm_material"), measure("arm_outside_mm"),
        measure("roughness_rz_um", places=4), measure("radial_stiffness_n_mm", places=3),
    ),
    references=(Reference(("arm_material",), "materials", "arm_material"),),
    ordered=(("bore_min_mm", "bore_max_mm"), ("clevis_gap_min_mm", "clevis_gap_max_mm")),
)  # fmt: skip

JOINTS = Sheet(
    "joints", "catalog.Joint",
    (
        code("axle", "*"), code("location", "*"), code("component", "*"), window_from("built_from", "(*)"),
        window_to("built_to"), conditions("conditions", "(*)", without=("built",)), yes_no("alternative"),
        text("tell_apart"),
    ),
    references=(AXLE, Reference(("component",), "components", "component")),
    places=(Place(),),
    group=("axle", "location"),
    ordered=(("built_from", "built_to"),),
)  # fmt: skip

AXLE_LOCATIONS = Sheet(
    "axle_locations", "catalog.AxleLocation",
    (
        code("axle", "*"), code("location", "*"), whole("pieces", least=1), choice("per", Per.values, default="side"),
        measure("rotation_deg", places=4), measure("tilt_deg", places=4),
        measure("static_tilt_deg", places=4, signed=True), measure("retention_n", places=3),
    ),
    references=(AXLE,),
    places=(Place(),),
)  # fmt: skip

WAYS = Sheet(
    "ways", "catalog.Way",
    (
        code("axle", "*"), code("location", "*"), own_code("way"), groups("operations", "!"), yes_no("piece_out"),
    ),
    references=(AXLE,),
    places=(Place(),),
    many=(_operation_groups("operations", "catalog.WayOperation", "way", "operation"),),
)  # fmt: skip

NUMBERS = Sheet(
    "numbers", "catalog.Number",
    (
        value("issuer", "*"), number("number", "*"), code("component", "(*)"), code("part", "(*)"),
        code("revision", "(*)"), choice("kind", NumberKind.values, "!"), choice("side", Side.values),
    ),
    references=(
        Reference(("component",), "components", "component"),
        PART,
        Reference(("part", "revision"), "revisions", "revision", owns=("revision",)),
    ),
    group=("issuer", "number"),
    computed={"normal": ("number", normal_form), "folded": ("number", folded_form)},
)  # fmt: skip

SUPERSESSIONS = Sheet(
    "supersessions", "catalog.Supersession",
    (
        value("issuer", "*"), number("old", "*"), number("new", "*"), choice("exchange", Exchange.values, "!"),
        day("since"),
    ),
    computed={
        "old_normal": ("old", normal_form), "old_folded": ("old", folded_form),
        "new_normal": ("new", normal_form), "new_folded": ("new", folded_form),
    },
)  # fmt: skip

PARTS = Sheet(
    "parts", "catalog.Part",
    (
        own_code("part"), text("title", "!"), code("technology", "!"), choice("duty", Duty.values, "!"),
        yes_no("sealed"), whole("kit_pieces", least=1), choice("seat", Seat.values, "!"),
        measure("bench_min", places=4), measure("bench_likely", places=4), measure("bench_max", places=4),
        grade("bench_skill"), groups("bench_equipment"), measure("draw_up_mm"), measure("clearance_mm"),
        measure("offset_mm"), measure("closure_um"), *_range("blank_outside_min_mm", "blank_outside_max_mm"),
        *_range("blank_sleeve_min_mm", "blank_sleeve_max_mm"),
        items("blank_holes_mm", DecimalKind(5, 9, Decimal(0), None, "mm"), array=True), whole("first_inspection_km"),
        whole("interval_km"), measure("play_limit_mm"), text("comfort"), text("upkeep"),
    ),
    references=(Reference(("technology",), "technologies", "technology"),),
    many=(
        Many(
            "bench_equipment", "catalog.PartBenchEquipment", "part", "equipment", "equipment", grouped=True,
        ),
    ),
    ordered=(
        ("bench_min", "bench_likely", "bench_max"), ("blank_outside_min_mm", "blank_outside_max_mm"),
        ("blank_sleeve_min_mm", "blank_sleeve_max_mm"),
    ),
)  # fmt: skip

KIT_ITEMS = Sheet(
    "kit_items", "catalog.KitItem",
    (
        code("part", "*"), word("item", "*"), text("title", "!"), whole("count", "!", least=1), word("thread"),
        choice("hand", Hand.values),
    ),
    references=(PART,),
)  # fmt: skip

REVISIONS = Sheet(
    "revisions", "catalog.Revision",
    (
        code("part", "*"), own_code("revision", field="letter", longest=12), choice("status", Status.values, "!"),
        day("released_on"), *_range("outside_min_mm", "outside_max_mm"), iso_class("outside_class"),
        measure("body_length_mm"), *_range("sleeve_min_mm", "sleeve_max_mm"), *_range("hole_min_mm", "hole_max_mm"),
        taper("taper"), measure("taper_large_mm"), measure("centre_offset_mm"), measure("housing_bore_mm"),
        code("material"), measure("roughness_rz_um", places=4), measure("rotation_deg", places=4),
        measure("tilt_deg", places=4), measure("radial_stiffness_n_mm", places=3), text("change"), text("reason"),
        choice("exchange", RevisionExchange.values),
    ),
    references=(PART, Reference(("material",), "materials", "material")),
    ordered=(
        ("outside_min_mm", "outside_max_mm"), ("sleeve_min_mm", "sleeve_max_mm"), ("hole_min_mm", "hole_max_mm"),
    ),
)  # fmt: skip

HOLDS = Sheet(
    "holds", "catalog.Hold",
    (
        code("part", "*"), code("revision", "*"), word("batch_from", "(*)"), word("batch_to"), text("cause", "!"),
        text("look_for", "!"), day("opened_on", "!"), day("closed_on"),
    ),
    references=(REVISION,),
    ordered=(("opened_on", "closed_on"),),
)  # fmt: skip

PAPERS = Sheet(
    "papers", "catalog.Papers",
    (
        code("part", "*"), value("market", "*"), word("kind", "*"), text("reference", "!"), window_to("valid_to"),
        text("conditions_text"),
    ),
    references=(PART,),
)  # fmt: skip

PART_RULES = Sheet(
    "part_rules", "catalog.PartRule",
    (code("part", "*"), choice("rule", Rule.values, "*"), code("other", "(*)"), text("note")),
    references=(PART, Reference(("other",), "parts", "other")),
)  # fmt: skip

EQUIPMENT = Sheet(
    "equipment", "catalog.Equipment",
    (
        own_code("equipment"), text("title", "!"), choice("kind", EquipmentKind.values, default="tool"),
        yes_no("home"), grade("least_grade"),
    ),
)  # fmt: skip

HAZARDS = Sheet(
    "hazards", "catalog.Hazard",
    (own_code("hazard"), text("title", "!"), grade("least_grade"), text("caution", "!")),
)  # fmt: skip

MATERIALS = Sheet(
    "materials", "catalog.Material",
    (
        own_code("material"), text("title", "!"), measure("modulus_mpa", "!", places=3),
        measure("poisson", "!", most=Decimal(1)), measure("yield_mpa", "!", places=3),
        measure("expansion_per_k", "!", places=12, digits=2),
    ),
)  # fmt: skip

TECHNOLOGIES = Sheet(
    "technologies", "catalog.Technology",
    (
        own_code("technology"), text("title", "!"), yes_no("allows_rotation", "!"), yes_no("allows_tilt", "!"),
        yes_no("solid", "!"),
    ),
)  # fmt: skip

OPERATIONS = Sheet(
    "operations", "catalog.Operation",
    (
        code("axle", "*"), own_code("operation"), text("title", "!"), text("text"), text("watch_for"), word("zone"),
        yes_no("per_side", "!"), measure("remove_min", "!", places=4), measure("remove_likely", "!", places=4),
        measure("remove_max", "!", places=4), measure("refit_min", "!", places=4),
        measure("refit_likely", "!", places=4), measure("refit_max", "!", places=4), grade("skill", "!"),
        groups("needs"), codes("entails"), groups("equipment"), codes("consumables"), codes("hazards"),
        yes_no("alignment"), conditions("conditions", without=("axle", "location")),
        choice("if_absent", IfAbsent.values),
    ),
    references=(AXLE,),
    many=(
        _operation_groups("needs", "catalog.OperationNeed", "operation", "needed"),
        Many("entails", "catalog.OperationEntail", "operation", "entailed", "operations", scope=("axle",)),
        Many("equipment", "catalog.OperationEquipment", "operation", "equipment", "equipment", grouped=True),
        Many("consumables", "catalog.OperationConsumable", "operation", "consumable", "equipment"),
        Many("hazards", "catalog.OperationHazard", "operation", "hazard", "hazards"),
    ),
    ordered=(("remove_min", "remove_likely", "remove_max"), ("refit_min", "refit_likely", "refit_max")),
)  # fmt: skip

FASTENERS = Sheet(
    "fasteners", "catalog.Fastener",
    (
        code("axle", "*"), code("operation", "*"), own_code("fastener"), number("number"),
        whole("count", "!", least=1), word("thread"), word("grade"), choice("head", Head.values), word("drive"),
        word("counter_hold"), measure("torque_nm", places=3), measure("angle_deg", places=3),
        choice("tighten_at", TightenAt.values), yes_no("single_use"), text("source"), text("note"),
    ),
    references=(OPERATION,),
    group=("axle", "operation"),
    computed={"normal": ("number", normal_form)},
)  # fmt: skip

FASTENER_CHANGES = Sheet(
    "fastener_changes", "catalog.FastenerChange",
    (
        code("part", "*"), code("revision", "*"), code("axle", "*"), code("operation", "*"), code("fastener", "*"),
        whole("supplied"), measure("torque_nm", places=3), measure("angle_deg", places=3), text("locking"),
    ),
    references=(REVISION, Reference(("axle", "operation", "fastener"), "fasteners", "fastener")),
)  # fmt: skip

# What stands before, between and after the sheets of the decisions and the evidence (fitment.sheets).
VEHICLES = (CATALOGUE, MAKERS, PLATFORMS, TOPOLOGIES, LOCATIONS, AXLES, OPTIONS, VARIANTS, VIN_PATTERNS)
PARTS_AND_JOINTS = (
    COMPONENTS, JOINTS, AXLE_LOCATIONS, WAYS, NUMBERS, SUPERSESSIONS, PARTS, KIT_ITEMS, REVISIONS, HOLDS, PAPERS,
    PART_RULES,
)  # fmt: skip
PROCEDURES = (
    EQUIPMENT, HAZARDS, MATERIALS, TECHNOLOGIES, OPERATIONS, FASTENERS, FASTENER_CHANGES,
)  # fmt: skip
