"""Makers, platforms, options and the cars themselves."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from catalog.models.bases import Coded, Fact
from catalog.models.constraints import constraints_of, key
from catalog.models.fields import Code, Count, Day, Link, Measure, OptionalLink, Owner, Text
from catalog.sheets.vehicles import MAKERS, OPTIONS, PLATFORMS, VARIANTS, VIN_PATTERNS


class Maker(Coded):
    """A vehicle manufacturer and its world manufacturer identifiers (ISO 3780)."""

    title = Text()
    wmi = ArrayField(models.CharField(max_length=3), default=list, blank=True)

    class Meta:
        constraints = constraints_of(MAKERS)


class Platform(Fact):
    """A chassis code of a maker."""

    maker = Link("catalog.Maker", "platforms")
    chassis = Code()
    title = Text()
    built_from = models.DateField()
    built_to = Day()
    predecessor = OptionalLink("catalog.Platform", "successors")

    class Meta:
        constraints = constraints_of(PLATFORMS)


class Option(Coded):
    """Factory equipment that matters to fit; options of one group exclude each other."""

    title = Text()
    group = Code(blank=True, default="")
    required = models.BooleanField(default=False)

    class Meta:
        constraints = constraints_of(OPTIONS)


class Variant(Coded):
    """One car as the maker sold it."""

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
        constraints = constraints_of(VARIANTS)


class VariantOption(Fact):
    """An option a variant can have, or with `standard` always has."""

    variant = Owner("catalog.Variant", "option_rows")
    option = Link("catalog.Option", "variant_rows")
    standard = models.BooleanField()

    class Meta:
        constraints = [key("variant", "option")]


class VinPattern(Fact):
    """A maker identifier and a mask over positions 4 to 8 (`?`: any sign) of the cars it stands for."""

    wmi = models.CharField(max_length=3)
    mask = models.CharField(max_length=5)

    class Meta:
        constraints = constraints_of(VIN_PATTERNS)


class VinPatternVariant(Fact):
    """A variant that a VIN pattern stands for."""

    pattern = Owner("catalog.VinPattern", "variant_rows")
    variant = Link("catalog.Variant", "vin_pattern_rows")

    class Meta:
        constraints = [key("pattern", "variant")]
