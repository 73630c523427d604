"""Original joints, part numbers and their supersessions."""

from django.db import models

from catalog.codes import Exchange, NumberKind, Side
from catalog.models.bases import Coded, Fact
from catalog.models.constraints import constraints_of, filled, not_negative
from catalog.models.fields import Choice, Code, Day, Measure, OptionalLink, Text
from catalog.sheets.components import COMPONENTS, NUMBERS, SUPERSESSIONS


class Component(Coded):
    """The original joint as the car maker fits it: construction and interface. Sizes in mm."""

    title = Text()
    construction = Code()
    process = Code(blank=True, default="")
    bore_min_mm = Measure()
    bore_max_mm = Measure()
    bore_class = Code(blank=True, default="")
    seat_length_mm = Measure()
    clevis_gap_min_mm = Measure()
    clevis_gap_max_mm = Measure()
    bolt_mm = Measure()
    taper = Code(blank=True, default="")
    taper_large_mm = Measure()
    centre_offset_mm = Measure()
    arm_material = OptionalLink("catalog.Material", "components")
    arm_outside_mm = Measure()
    roughness_rz_um = Measure(4)
    radial_stiffness_n_mm = Measure(3)

    class Meta:
        constraints = constraints_of(COMPONENTS, not_negative("bore_max_mm", "clevis_gap_max_mm"))


class Number(Fact):
    """A part number as printed by its issuer, with one target (none yet: both empty) and a side."""

    issuer = Code()
    number = Code()
    normal = Code(db_index=True)
    folded = Code(db_index=True)
    component = OptionalLink("catalog.Component", "numbers")
    part = OptionalLink("catalog.Part", "numbers")
    revision = OptionalLink("catalog.Revision", "numbers")
    kind = Choice(NumberKind.choices)
    side = Choice(Side.choices)

    class Meta:
        constraints = constraints_of(NUMBERS, filled("normal"))

    def __str__(self) -> str:
        return f"{self.issuer} {self.number}"


class Supersession(Fact):
    """An old number and the new one of the same issuer that takes its place."""

    issuer = Code()
    old = Code()
    old_normal = Code(db_index=True)
    old_folded = Code(db_index=True)
    new = Code()
    new_normal = Code(db_index=True)
    new_folded = Code(db_index=True)
    exchange = Choice(Exchange.choices)
    since = Day()

    class Meta:
        constraints = constraints_of(
            SUPERSESSIONS,
            filled("old_normal", "new_normal"),
            models.CheckConstraint(
                condition=~models.Q(old_normal=models.F("new_normal")), name="%(app_label)s_%(class)s_not_by_itself"
            ),
        )

    def __str__(self) -> str:
        return f"{self.issuer} {self.old} > {self.new}"
