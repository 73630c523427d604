"""Makers, platforms, options and cars."""

from rest_framework import serializers

from api.serializers.base import Count, Day, Figure, Href, Row, Text, Word, Words
from catalog.models import Variant


class MakerSerializer(Row):
    """A vehicle manufacturer."""

    table = "makers"
    maker = Text(source="code")
    title = Text()
    wmi = Words(help_text="World manufacturer identifiers (ISO 3780).")
    href = Href("makers", "code")


class PlatformSerializer(Row):
    """A chassis code of a maker."""

    table = "platforms"
    maker = Text(source="maker.code")
    chassis = Text()
    title = Text()
    built_from = Day(allow_null=False)
    built_to = Day()
    predecessor = Word(source="predecessor.chassis", default=None, help_text="A chassis of the same maker.")
    href = Href("platforms", "maker.code", "chassis")


class OptionSerializer(Row):
    """Factory equipment that matters to fit."""

    table = "options"
    option = Text(source="code")
    title = Text()
    group = Word(help_text="Options of one group exclude each other.")
    required = serializers.BooleanField(help_text="Whether a car always has one of the group.")
    href = Href("options", "code")


def _options(*, standard: bool) -> Words:
    def codes(variant: Variant) -> list[str]:
        return sorted(row.option.code for row in variant.option_rows.all() if row.standard is standard)

    return Words(of=codes)


class VariantSerializer(Row):
    """One car as the maker sold it; masses in kg, lengths in mm."""

    table = "variants"
    variant = Text(source="code")
    maker = Text(source="platform.maker.code")
    chassis = Text(source="platform.chassis")
    designation = Text()
    body = Text()
    engine = Text()
    drivetrain = Text()
    steering = Text()
    market = Text()
    built_from = Day(allow_null=False)
    built_to = Day()
    front_axle = Word(source="front_axle.code", default=None)
    rear_axle = Word(source="rear_axle.code", default=None)
    options = _options(standard=False)
    standard_options = _options(standard=True)
    kerb_mass_kg = Figure()
    front_mass_share = Figure()
    wheelbase_mm = Figure()
    cg_height_mm = Figure()
    track_mm = Figure()
    in_operation = Count()
    href = Href("variants", "code")
