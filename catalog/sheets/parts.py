"""Designs we sell or develop, their revisions, kits, papers, rules and holds."""

from decimal import Decimal

from catalog.codes import Duty, Hand, RevisionExchange, Rule, Seat, Status
from catalog.sheets.columns import (
    KEY,
    OPEN_KEY,
    OPTIONAL,
    REQUIRED,
    choice,
    code,
    day,
    development,
    grade,
    groups,
    iso_class,
    items,
    measure,
    own_code,
    sales,
    taper,
    text,
    value,
    whole,
    window_to,
    word,
    yes_no,
)
from catalog.sheets.kinds import DecimalKind
from catalog.sheets.sheet import Many, Reference, Sheet

REVISION = Reference(("part", "revision"), "revisions", "revision")
HOLE = DecimalKind(5, 9, Decimal(0), None, "mm")

PARTS = Sheet(
    "parts",
    "catalog.Part",
    (
        own_code("part", "The part's code."),
        text("title", REQUIRED, "What the part is called."),
        code("technology", REQUIRED, "How it is built.", of="technologies", filter=True),
        choice("duty", Duty, REQUIRED, "What it is made for.", filter=True),
        yes_no("sealed", OPTIONAL, "Whether it is sealed.", filter=True),
        whole("kit_pieces", OPTIONAL, "How many pieces one kit holds.", minimum=1),
        choice("seat", Seat, REQUIRED, "How it sits.", filter=True),
        measure("bench_min", OPTIONAL, "The least bench work a piece, minutes.", places=4),
        measure("bench_likely", OPTIONAL, "The most likely bench work a piece, minutes.", places=4),
        measure("bench_max", OPTIONAL, "The greatest bench work a piece, minutes.", places=4),
        grade("bench_skill", OPTIONAL, "The skill that the bench work takes, 1 to 5."),
        groups("bench_equipment", OPTIONAL, "What the bench work needs: one of each group."),
        *development(
            measure("draw_up_mm", OPTIONAL, "How far the clevis may be drawn up to its sleeve, mm."),
            measure("clearance_mm", OPTIONAL, "The clearance it needs around it, mm."),
            measure("offset_mm", OPTIONAL, "The offset of its centre that it makes up for, mm."),
            measure("closure_um", OPTIONAL, "The closure of the race that it bears, micrometres."),
            measure("blank_outside_min_mm", OPTIONAL, "The least outside that its blank can be machined to, mm."),
            measure("blank_outside_max_mm", OPTIONAL, "The greatest outside of its blank, mm."),
            measure("blank_sleeve_min_mm", OPTIONAL, "The least sleeve that its blank can be machined to, mm."),
            measure("blank_sleeve_max_mm", OPTIONAL, "The greatest sleeve of its blank, mm."),
            items("blank_holes_mm", HOLE, OPTIONAL, "The holes that its blank is made with, mm.", array=True),
        ),
        whole("first_inspection_km", OPTIONAL, "How far the car is driven to the first inspection, km."),
        whole("interval_km", OPTIONAL, "How far the car is driven between inspections, km."),
        measure("play_limit_mm", OPTIONAL, "The play at which it is replaced, mm."),
        text("comfort", OPTIONAL, "What is felt and heard of it."),
        text("upkeep", OPTIONAL, "What its upkeep asks."),
    ),
    many=(Many("bench_equipment", "catalog.PartBenchEquipment", "part", "equipment", "equipment", grouped=True),),
    ordered=(
        ("bench_min", "bench_likely", "bench_max"),
        ("blank_outside_min_mm", "blank_outside_max_mm"),
        ("blank_sleeve_min_mm", "blank_sleeve_max_mm"),
    ),
)

KIT_ITEMS = Sheet(
    "kit_items",
    "catalog.KitItem",
    (
        code("part", KEY, "The part whose kit it is in.", of="parts"),
        word("item", KEY, "The item of the kit."),
        text("title", REQUIRED, "What the item is called."),
        whole("count", REQUIRED, "How many one kit holds.", minimum=1),
        word("thread", OPTIONAL, "Its thread."),
        choice("hand", Hand, OPTIONAL, "The hand of its thread."),
    ),
)

REVISIONS = Sheet(
    "revisions",
    "catalog.Revision",
    (
        code("part", KEY, "The part it is an edition of.", of="parts", filter=True),
        own_code("revision", "The letter of the revision.", field="letter", longest=12),
        choice("status", Status, REQUIRED, "How far it has come.", filter=True),
        day("released_on", OPTIONAL, "The day it was released."),
        *development(
            measure("outside_min_mm", OPTIONAL, "Its least outside diameter, mm."),
            measure("outside_max_mm", OPTIONAL, "Its greatest outside diameter, mm."),
            iso_class("outside_class", "The size and ISO 286 class of its outside."),
            measure("body_length_mm", OPTIONAL, "The length of its body, mm."),
            measure("sleeve_min_mm", OPTIONAL, "The least length of its sleeve, mm."),
            measure("sleeve_max_mm", OPTIONAL, "The greatest length of its sleeve, mm."),
            measure("hole_min_mm", OPTIONAL, "The least diameter of its hole, mm."),
            measure("hole_max_mm", OPTIONAL, "The greatest diameter of its hole, mm."),
            taper("taper", "The taper of its stud, as 1:10."),
            measure("taper_large_mm", OPTIONAL, "The large diameter of the taper, mm."),
            measure("centre_offset_mm", OPTIONAL, "How far its centre stands off the middle of its body, mm."),
            measure("housing_bore_mm", OPTIONAL, "The bore of its housing, mm."),
            code("material", OPTIONAL, "The material of its body.", of="materials"),
            measure("roughness_rz_um", OPTIONAL, "The roughness Rz of its outside, micrometres.", places=4),
            measure("rotation_deg", OPTIONAL, "How far it turns, degrees each way.", places=4),
            measure("tilt_deg", OPTIONAL, "How far it tilts, degrees each way.", places=4),
            measure("radial_stiffness_n_mm", OPTIONAL, "Its radial stiffness, N/mm.", places=3),
        ),
        text("change", OPTIONAL, "What changed, for everybody."),
        *development(text("reason", OPTIONAL, "Why it changed, for us.")),
        choice("exchange", RevisionExchange, OPTIONAL, "Whether it may replace the revision before it.", filter=True),
    ),
    ordered=(("outside_min_mm", "outside_max_mm"), ("sleeve_min_mm", "sleeve_max_mm"), ("hole_min_mm", "hole_max_mm")),
)

HOLDS = Sheet(
    "holds",
    "catalog.Hold",
    (
        code("part", KEY, "The part."),
        code("revision", KEY, "The letter of the revision that is held."),
        word("batch_from", OPEN_KEY, "The first batch held; both batches empty: the whole revision."),
        word("batch_to", OPTIONAL, "The last batch held."),
        *sales(text("cause", REQUIRED, "Why it is held.")),
        text("look_for", REQUIRED, "What to look for on the car."),
        day("opened_on", REQUIRED, "The day the hold was opened."),
        *sales(day("closed_on", OPTIONAL, "The day the hold was closed; empty: it is open.")),
    ),
    references=(REVISION,),
    ordered=(("opened_on", "closed_on"),),
)

PAPERS = Sheet(
    "papers",
    "catalog.Papers",
    (
        code("part", KEY, "The part.", of="parts"),
        value("market", KEY, "The market that asks for it."),
        word("kind", KEY, "What kind of paper it is."),
        text("reference", REQUIRED, "Its number or mark."),
        window_to("valid_to", OPTIONAL, "The last day it is valid; empty: no end."),
        text("conditions_text", OPTIONAL, "The conditions it sets, in words."),
    ),
)

PART_RULES = Sheet(
    "part_rules",
    "catalog.PartRule",
    (
        code("part", KEY, "The part that asks.", of="parts"),
        choice("rule", Rule, KEY, "What it asks."),
        code("other", OPEN_KEY, "The other part that the rule names.", of="parts"),
        text("note", OPTIONAL, "What else there is to say of it."),
    ),
)
