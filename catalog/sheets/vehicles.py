"""The catalogue itself, makers, platforms, options and cars."""

from catalog.sheets.columns import (
    KEY,
    OPTIONAL,
    REQUIRED,
    code,
    codes,
    day,
    items,
    measure,
    own_code,
    pattern,
    sales,
    text,
    value,
    whole,
    window_from,
    window_to,
    yes_no,
)
from catalog.sheets.kinds import PatternKind
from catalog.sheets.sheet import Many, Reference, Sheet
from catalog.vin import MASK

WMI = PatternKind(r"[A-HJ-NPR-Z0-9]{3}", "write three capital letters or digits, without I, O and Q")

PLATFORM = Reference(("maker", "chassis"), "platforms", "platform")

CATALOGUE = Sheet(
    "catalogue",
    "catalog.Catalogue",
    (
        own_code("catalogue", "The code of this catalogue.", filter=False),
        whole("edition", OPTIONAL, "The edition that the file was written at."),
        day("as_of", OPTIONAL, "The day up to which the facts are known."),
    ),
)

MAKERS = Sheet(
    "makers",
    "catalog.Maker",
    (
        own_code("maker", "The maker's code."),
        text("title", REQUIRED, "The name of the vehicle manufacturer."),
        items("wmi", WMI, OPTIONAL, "World manufacturer identifiers (ISO 3780).", array=True),
    ),
)

PLATFORMS = Sheet(
    "platforms",
    "catalog.Platform",
    (
        code("maker", KEY, "The maker that built it.", of="makers", filter=True),
        code("chassis", KEY, "The chassis code.", filter=True),
        text("title", OPTIONAL, "What it is called."),
        window_from("built_from", REQUIRED, "The first day it was built."),
        window_to("built_to", OPTIONAL, "The last day it was built; open: still built."),
        code("predecessor", OPTIONAL, "The chassis of the same maker that it followed.", filter=True),
    ),
    references=(Reference(("maker", "predecessor"), "platforms", "predecessor", owns=("predecessor",)),),
    ordered=(("built_from", "built_to"),),
)

OPTIONS = Sheet(
    "options",
    "catalog.Option",
    (
        own_code("option", "The option's code."),
        text("title", REQUIRED, "What the equipment is called."),
        code("group", OPTIONAL, "Options of one group exclude each other.", filter=True),
        yes_no("required", OPTIONAL, "Whether a car always has one of the group.", filter=True),
    ),
)

VARIANTS = Sheet(
    "variants",
    "catalog.Variant",
    (
        own_code("variant", "The variant's code."),
        code("maker", REQUIRED, "The maker of the car.", filter=True),
        code("chassis", REQUIRED, "The chassis code of its platform.", filter=True),
        value("designation", REQUIRED, "What the maker sold it as.", filter=True),
        value("body", REQUIRED, "Its body.", filter=True),
        value("engine", REQUIRED, "Its engine.", filter=True),
        value("drivetrain", REQUIRED, "Its driven wheels.", filter=True),
        value("steering", REQUIRED, "The side its steering wheel is on.", filter=True),
        value("market", REQUIRED, "The market it was made for.", filter=True),
        window_from("built_from", REQUIRED, "The first day it was built."),
        window_to("built_to", OPTIONAL, "The last day it was built; open: still built."),
        code("front_axle", OPTIONAL, "Its front axle; empty: not recorded.", of="axles", filter=True),
        code("rear_axle", OPTIONAL, "Its rear axle; empty: not recorded.", of="axles", filter=True),
        codes("options", OPTIONAL, "The options it can have.", ordered=False),
        codes("standard_options", OPTIONAL, "The options it always has.", ordered=False),
        measure("kerb_mass_kg", OPTIONAL, "Its kerb mass, kg.", places=3),
        measure("front_mass_share", OPTIONAL, "The share of its mass on the front axle, 0 to 1.", maximum=1),
        measure("wheelbase_mm", OPTIONAL, "Its wheelbase, mm.", places=4),
        measure("cg_height_mm", OPTIONAL, "The height of its centre of gravity above the ground, mm.", places=4),
        measure("track_mm", OPTIONAL, "Its track, mm.", places=4),
        *sales(whole("in_operation", OPTIONAL, "How many of these cars are in operation.")),
    ),
    references=(PLATFORM,),
    many=tuple(
        Many(
            column,
            "catalog.VariantOption",
            "variant",
            "option",
            "options",
            position=False,
            fixed={"standard": column == "standard_options"},
        )
        for column in ("options", "standard_options")
    ),
    ordered=(("built_from", "built_to"),),
)

VIN_PATTERNS = Sheet(
    "vin_patterns",
    "catalog.VinPattern",
    (
        pattern("wmi", WMI.pattern, WMI.right, KEY, "The maker identifier: signs 1 to 3 (ISO 3780)."),
        pattern(
            "mask",
            MASK,
            "write five signs: capital letters or digits without I, O and Q, or ?",
            KEY,
            "Signs 4 to 8 (ISO 3779); a question mark is any sign.",
        ),
        codes("variants", REQUIRED, "The cars that it stands for.", ordered=False),
    ),
    many=(Many("variants", "catalog.VinPatternVariant", "pattern", "variant", "variants", position=False),),
)
