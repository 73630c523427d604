"""Original joints, part numbers and their supersessions."""

from catalog.codes import Exchange, NumberKind, Side
from catalog.numbers import folded_form, normal_form
from catalog.sheets.columns import (
    KEY,
    OPEN_KEY,
    OPTIONAL,
    REQUIRED,
    choice,
    code,
    day,
    development,
    iso_class,
    measure,
    number,
    own_code,
    taper,
    text,
    value,
    word,
)
from catalog.sheets.sheet import Reference, Sheet

COMPONENTS = Sheet(
    "components",
    "catalog.Component",
    (
        own_code("component", "The component's code."),
        text("title", REQUIRED, "What the original joint is called."),
        word("construction", REQUIRED, "How it is built.", filter=True),
        *development(
            word("process", OPTIONAL, "How it is mounted."),
            measure("bore_min_mm", OPTIONAL, "The least diameter of the bore it sits in, mm."),
            measure("bore_max_mm", OPTIONAL, "The greatest diameter of the bore it sits in, mm."),
            iso_class("bore_class", "The size and ISO 286 class of the bore."),
            measure("seat_length_mm", OPTIONAL, "The length of the seat, mm."),
            measure("clevis_gap_min_mm", OPTIONAL, "The least width of the clevis, mm."),
            measure("clevis_gap_max_mm", OPTIONAL, "The greatest width of the clevis, mm."),
            measure("bolt_mm", OPTIONAL, "The diameter of the bolt, mm."),
            taper("taper", "The taper of the stud, as 1:10."),
            measure("taper_large_mm", OPTIONAL, "The large diameter of the taper, mm."),
            measure("centre_offset_mm", OPTIONAL, "How far its centre stands off the middle of the seat, mm."),
            code("arm_material", OPTIONAL, "The material of the arm it sits in.", of="materials"),
            measure("arm_outside_mm", OPTIONAL, "The outside diameter of the arm's eye, mm."),
            measure("roughness_rz_um", OPTIONAL, "The roughness Rz of the bore, micrometres.", places=4),
            measure("radial_stiffness_n_mm", OPTIONAL, "Its radial stiffness, N/mm.", places=3),
        ),
    ),
    ordered=(("bore_min_mm", "bore_max_mm"), ("clevis_gap_min_mm", "clevis_gap_max_mm")),
)

NUMBERS = Sheet(
    "numbers",
    "catalog.Number",
    (
        value("issuer", KEY, "Who prints the number.", filter=True),
        number("number", KEY, "The number as printed; it compares in any spelling.", filter=True),
        code("component", OPEN_KEY, "The component it stands for.", of="components", filter=True),
        code("part", OPEN_KEY, "The part it stands for, itself or by a revision.", of="parts"),
        code("revision", OPEN_KEY, "The letter of the revision it stands for.", filter=True),
        choice("kind", NumberKind, REQUIRED, "What kind of thing it stands for.", filter=True),
        choice("side", Side, OPTIONAL, "The side of the car it is for.", filter=True),
    ),
    references=(Reference(("part", "revision"), "revisions", "revision", owns=("revision",)),),
    group=("issuer", "number"),
    computed={"normal": ("number", normal_form), "folded": ("number", folded_form)},
)

SUPERSESSIONS = Sheet(
    "supersessions",
    "catalog.Supersession",
    (
        value("issuer", KEY, "Who prints the numbers."),
        number("old", KEY, "The number that was replaced."),
        number("new", KEY, "The number that takes its place."),
        choice("exchange", Exchange, REQUIRED, "Whether the new may be used for the old, and the old for the new."),
        day("since", OPTIONAL, "The day from which it is so."),
    ),
    computed={
        f"{name}_{form}": (name, function)
        for name in ("old", "new")
        for form, function in (("normal", normal_form), ("folded", folded_form))
    },
)
