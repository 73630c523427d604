"""Original joints, part numbers and their supersessions."""

from django.db import models

from catalog.codes import Exchange, NumberKind, Side
from catalog.models.constraints import filled, flat, in_order, key, not_negative, one_of
from catalog.models.fields import Choice, Code, Day, Measure, OptionalLink, Text


class Component(models.Model):
    """The original joint as the car maker fits it: construction and interface. Sizes in mm."""

    code = Code()
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
        constraints = flat(
            key("code"),
            filled("code", "title", "construction"),
            in_order("bore_min_mm", "bore_max_mm"),
            in_order("clevis_gap_min_mm", "clevis_gap_max_mm"),
            not_negative(
                "bore_min_mm", "bore_max_mm", "seat_length_mm", "clevis_gap_min_mm", "clevis_gap_max_mm", "bolt_mm",
                "taper_large_mm", "centre_offset_mm", "arm_outside_mm", "roughness_rz_um", "radial_stiffness_n_mm",
            ),
        )  # fmt: skip

    def __str__(self) -> str:
        return self.code


class Number(models.Model):
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
        constraints = flat(
            key("issuer", "normal", "component", "part", "revision", nulls_equal=True),
            filled("issuer", "number", "normal", "kind"),
            one_of("kind", NumberKind),
            one_of("side", Side),
        )

    def __str__(self) -> str:
        return f"{self.issuer} {self.number}"


class Supersession(models.Model):
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
        constraints = flat(
            key("issuer", "old_normal", "new_normal"),
            filled("issuer", "old_normal", "new_normal", "exchange"),
            one_of("exchange", Exchange),
            models.CheckConstraint(
                condition=~models.Q(old_normal=models.F("new_normal")), name="%(app_label)s_%(class)s_not_by_itself"
            ),
        )

    def __str__(self) -> str:
        return f"{self.issuer} {self.old} > {self.new}"
