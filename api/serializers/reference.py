"""Equipment, hazards, materials and technologies."""

from rest_framework import serializers

from api.serializers.base import Count, Figure, Href, Row, Text


class EquipmentSerializer(Row):
    """A tool, or something used up."""

    table = "equipment"
    equipment = Text(source="code")
    title = Text()
    kind = Text()
    home = serializers.BooleanField(help_text="Whether a home has it.")
    least_grade = Count()
    href = Href("equipment", "code")


class HazardSerializer(Row):
    """A danger, with the caution shown wherever a step brings it."""

    table = "hazards"
    hazard = Text(source="code")
    title = Text()
    least_grade = Count()
    caution = Text()
    href = Href("hazards", "code")


class MaterialSerializer(Row):
    """Modulus and yield in MPa, expansion per kelvin."""

    table = "materials"
    material = Text(source="code")
    title = Text()
    modulus_mpa = Figure(allow_null=False)
    poisson = Figure(allow_null=False)
    yield_mpa = Figure(allow_null=False)
    expansion_per_k = Figure(allow_null=False)
    href = Href("materials", "code")


class TechnologySerializer(Row):
    """A way to build a joint, and which movements it allows."""

    table = "technologies"
    technology = Text(source="code")
    title = Text()
    allows_rotation = serializers.BooleanField()
    allows_tilt = serializers.BooleanField()
    solid = serializers.BooleanField()
    href = Href("technologies", "code")
