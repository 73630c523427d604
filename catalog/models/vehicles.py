"""Makers, platforms, options and the cars themselves."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from catalog.models.constraints import between, filled, flat, in_order, key, not_negative
from catalog.models.fields import Code, Count, Day, Link, Measure, OptionalLink, Owner, Text


class Maker(models.Model):
    """A vehicle manufacturer and its world manufacturer identifiers (ISO 3780)."""

    code = Code()
    title = Text()
    wmi = ArrayField(models.CharField(max_length=3), default=list, blank=True)

    class Meta:
        constraints = flat(key("code"), filled("code", "title"))

    def __str__(self) -> str:
        return self.code


class Platform(models.Model):
    """A chassis code of a maker."""

    maker = Link("catalog.Maker", "platforms")
    chassis = Code()
    title = Text()
    built_from = models.DateField()
    built_to = Day()
    predecessor = OptionalLink("catalog.Platform", "successors")

    class Meta:
        constraints = flat(key("maker", "chassis"), filled("chassis"), in_order("built_from", "built_to"))

    def __str__(self) -> str:
        return f"{self.maker} {self.chassis}"


class Option(models.Model):
    """Factory equipment that matters to fit; options of one group exclude each other."""

    code = Code()
    title = Text()
    group = Code(blank=True, default="")
    required = models.BooleanField(default=False)

    class Meta:
        constraints = flat(key("code"), filled("code", "title"))

    def __str__(self) -> str:
        return self.code


class Variant(models.Model):
    """One car as the maker sold it."""

    code = Code()
    platform = Link("catalog.Platform", "variants")
    designation = Code(db_index=True)
    body = Code(db_index=True)
    engine = Code(db_index=True)
    drivetrain = Code()
    steering = Code()
    market = Code()
    built_from = models.DateField()
    built_to = Day()
    front_axle = OptionalLink("catalog.Axle", "front_variants")
    rear_axle = OptionalLink("catalog.Axle", "rear_variants")
    kerb_mass_kg = Measure(3)
    front_mass_share = Measure(5)
    wheelbase_mm = Measure(4)
    cg_height_mm = Measure(4)
    track_mm = Measure(4)
    in_operation = Count()

    class Meta:
        constraints = flat(
            key("code"),
            filled("code", "designation", "body", "engine", "drivetrain", "steering", "market"),
            in_order("built_from", "built_to"),
            not_negative("kerb_mass_kg", "wheelbase_mm", "cg_height_mm", "track_mm", "in_operation"),
            between("front_mass_share", 0, 1),
        )

    def __str__(self) -> str:
        return self.code


class VariantOption(models.Model):
    """An option a variant can have, or with `standard` always has."""

    variant = Owner("catalog.Variant", "option_rows")
    option = Link("catalog.Option", "variant_rows")
    standard = models.BooleanField()

    class Meta:
        constraints = [key("variant", "option")]

    def __str__(self) -> str:
        return f"{self.variant} {self.option}"


class VinPattern(models.Model):
    """A maker identifier and a mask over positions 4 to 8 (`?`: any sign) of the cars it stands for."""

    wmi = models.CharField(max_length=3)
    mask = models.CharField(max_length=5)

    class Meta:
        constraints = flat(key("wmi", "mask"), filled("wmi", "mask"))

    def __str__(self) -> str:
        return f"{self.wmi} {self.mask}"


class VinPatternVariant(models.Model):
    """A variant that a VIN pattern stands for."""

    pattern = Owner("catalog.VinPattern", "variant_rows")
    variant = Link("catalog.Variant", "vin_pattern_rows")

    class Meta:
        constraints = [key("pattern", "variant")]

    def __str__(self) -> str:
        return f"{self.pattern} {self.variant}"
