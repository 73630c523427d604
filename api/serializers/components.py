"""Original joints and part numbers."""

from api.serializers.base import Figure, Href, Row, Text, Word
from catalog.models import Number


class ComponentSerializer(Row):
    """The original joint; sizes in mm, roughness in um, stiffness in N/mm."""

    table = "components"
    component = Text(source="code")
    title = Text()
    construction = Text()
    process = Word()
    bore_min_mm = Figure()
    bore_max_mm = Figure()
    bore_class = Word()
    seat_length_mm = Figure()
    clevis_gap_min_mm = Figure()
    clevis_gap_max_mm = Figure()
    bolt_mm = Figure()
    taper = Word()
    taper_large_mm = Figure()
    centre_offset_mm = Figure()
    arm_material = Word(source="arm_material.code", default=None)
    arm_outside_mm = Figure()
    roughness_rz_um = Figure()
    radial_stiffness_n_mm = Figure()
    href = Href("components", "code")


class ComponentPlaceSerializer(Row):
    """A place where the component sits."""

    table = "components.places"
    axle = Text(source="axle.code")
    end = Text(source="axle.end")
    location = Text(source="location.code")


class ComponentDetailSerializer(ComponentSerializer):
    """The original joint with the places where it sits."""

    table = "components.detail"
    places = ComponentPlaceSerializer(many=True)


def part_of(number: Number) -> str | None:
    """The part that a number stands for, itself or by a revision."""
    part = number.part or (number.revision.part if number.revision else None)
    return part.code if part else None


class NumberSerializer(Row):
    """A part number and one thing it stands for."""

    table = "numbers"
    issuer = Text()
    number = Text(help_text="As printed.")
    normal = Text(help_text="The form in which numbers are compared.")
    component = Word(source="component.code", default=None)
    part = Word(of=part_of)
    revision = Word(source="revision.letter", default=None)
    kind = Text()
    side = Word()
    href = Href("numbers", "issuer", "normal")


class NumberTargetSerializer(Row):
    """One thing a number stands for."""

    table = "numbers.targets"
    component = Word(source="component.code", default=None)
    part = Word(of=part_of)
    revision = Word(source="revision.letter", default=None)
    side = Word()


class NumberDetailSerializer(Row):
    """A part number with all that it stands for."""

    table = "numbers.detail"
    issuer = Text()
    number = Text()
    normal = Text()
    kind = Text()
    href = Text()
    targets = NumberTargetSerializer(many=True)
