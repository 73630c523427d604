"""What a step needs, what is dangerous about it, and what things are made of."""

from catalog.codes import EquipmentKind
from catalog.sheets.columns import OPTIONAL, REQUIRED, choice, development, grade, measure, own_code, text, yes_no
from catalog.sheets.sheet import Sheet

EQUIPMENT = Sheet(
    "equipment",
    "catalog.Equipment",
    (
        own_code("equipment", "The code of the tool or consumable."),
        text("title", REQUIRED, "What it is called."),
        choice("kind", EquipmentKind, OPTIONAL, "Tool or consumable.", default=EquipmentKind.TOOL.value, filter=True),
        yes_no("home", OPTIONAL, "Whether a home has it.", filter=True),
        grade("least_grade", OPTIONAL, "The least grade of a job that uses it, 1 to 5."),
    ),
)

HAZARDS = Sheet(
    "hazards",
    "catalog.Hazard",
    (
        own_code("hazard", "The hazard's code."),
        text("title", REQUIRED, "What the danger is called."),
        grade("least_grade", OPTIONAL, "The least grade of a job that brings it, 1 to 5.", filter=True),
        text("caution", REQUIRED, "The caution that is shown wherever a step brings it."),
    ),
)

MATERIALS = Sheet(
    "materials",
    "catalog.Material",
    development(
        own_code("material", "The material's code."),
        text("title", REQUIRED, "What it is called."),
        measure("modulus_mpa", REQUIRED, "Its modulus of elasticity, MPa.", places=3),
        measure("poisson", REQUIRED, "Its Poisson's ratio, 0 to 1.", maximum=1),
        measure("yield_mpa", REQUIRED, "Its yield strength, MPa.", places=3),
        measure("expansion_per_k", REQUIRED, "Its linear expansion, per kelvin.", places=12, digits=2),
    ),
)

TECHNOLOGIES = Sheet(
    "technologies",
    "catalog.Technology",
    (
        own_code("technology", "The technology's code."),
        text("title", REQUIRED, "What it is called."),
        yes_no("allows_rotation", REQUIRED, "Whether the joint may turn.", filter=True),
        yes_no("allows_tilt", REQUIRED, "Whether the joint may tilt.", filter=True),
        yes_no("solid", REQUIRED, "Whether the joint is solid, without rubber.", filter=True),
    ),
)
