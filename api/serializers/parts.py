"""Parts and their revisions."""

from typing import Any

from rest_framework import serializers

from api.serializers.base import Count, Day, Figure, Groups, Href, Row, Text, Word
from api.serializers.suspension import grouped
from catalog.models import Part


class HoldSerializer(Row):
    """A batch range stopped or recalled; both batches empty: the whole revision."""

    table = "holds"
    batch_from = Word()
    batch_to = Word()
    look_for = Text()
    opened_on = Day(allow_null=False)
    cause = Text()
    closed_on = Day()


class RevisionSerializer(Row):
    """A lettered edition of a part; sizes in mm, roughness in um, stiffness in N/mm."""

    table = "revisions"
    part = Text(source="part.code")
    revision = Text(source="letter")
    status = Text()
    released_on = Day()
    outside_min_mm = Figure()
    outside_max_mm = Figure()
    outside_class = Word()
    body_length_mm = Figure()
    sleeve_min_mm = Figure()
    sleeve_max_mm = Figure()
    hole_min_mm = Figure()
    hole_max_mm = Figure()
    taper = Word()
    taper_large_mm = Figure()
    centre_offset_mm = Figure()
    housing_bore_mm = Figure()
    material = Word(source="material.code", default=None)
    roughness_rz_um = Figure()
    rotation_deg = Figure()
    tilt_deg = Figure()
    radial_stiffness_n_mm = Figure()
    change = Text()
    reason = Text()
    exchange = Word(help_text="Whether it may replace the revision before it.")
    holds = HoldSerializer(many=True)
    href = Href("revisions", "part.code", "letter")


class FastenerChangeSerializer(Row):
    """What the revision changes at a fastener: pieces of one kit, N m, degrees."""

    table = "revisions.fastener_changes"
    axle = Text(source="fastener.operation.axle.code")
    operation = Text(source="fastener.operation.code")
    fastener = Text(source="fastener.code")
    supplied = Count()
    torque_nm = Figure()
    angle_deg = Figure()
    locking = Text()


class RevisionDetailSerializer(RevisionSerializer):
    """A lettered edition of a part with what it changes at fasteners."""

    table = "revisions.detail"
    fastener_changes = FastenerChangeSerializer(many=True)


class RevisionOfPartSerializer(Row):
    """An edition of this part, oldest first."""

    table = "parts.revisions"
    revision = Text(source="letter")
    status = Text()
    released_on = Day()
    change = Text()
    exchange = Word()
    holds = HoldSerializer(many=True)
    href = Href("revisions", "part.code", "letter")


class KitItemSerializer(Row):
    """A piece in the bag of one kit."""

    table = "parts.kit_items"
    item = Text()
    title = Text()
    count = serializers.IntegerField()
    thread = Word()
    hand = Word()


class PapersSerializer(Row):
    """An approval or report by market."""

    table = "parts.papers"
    market = Text()
    kind = Text()
    reference = Text()
    valid_to = Day()
    conditions_text = Text()


class PartRuleSerializer(Row):
    """What the part asks of others."""

    table = "parts.part_rules"
    rule = Text()
    other = Word(source="other.code", default=None)
    note = Text()


def bench_equipment_of(part: Part) -> list[list[str]]:
    """The equipment of the bench work, in groups."""
    return grouped((row.group, row.position, row.equipment.code) for row in part.bench_equipment_rows.all())


class PartSerializer(Row):
    """A design: bench minutes a piece, sizes in mm, closure in um, upkeep in km."""

    table = "parts"
    part = Text(source="code")
    title = Text()
    technology = Text(source="technology.code")
    duty = Text()
    sealed = serializers.BooleanField(allow_null=True)
    kit_pieces = Count()
    seat = Text()
    bench_min = Figure()
    bench_likely = Figure()
    bench_max = Figure()
    bench_skill = Count()
    bench_equipment = Groups(of=bench_equipment_of)
    draw_up_mm = Figure()
    clearance_mm = Figure()
    offset_mm = Figure()
    closure_um = Figure()
    blank_outside_min_mm = Figure()
    blank_outside_max_mm = Figure()
    blank_sleeve_min_mm = Figure()
    blank_sleeve_max_mm = Figure()
    blank_holes_mm: Any = serializers.ListField(child=serializers.FloatField())
    first_inspection_km = Count()
    interval_km = Count()
    play_limit_mm = Figure()
    comfort = Text()
    upkeep = Text()
    href = Href("parts", "code")


class PartDetailSerializer(PartSerializer):
    """A design with its revisions, its kit, its papers and what it asks of others."""

    table = "parts.detail"
    revisions = RevisionOfPartSerializer(many=True)
    kit_items = KitItemSerializer(many=True)
    papers = PapersSerializer(many=True)
    part_rules = PartRuleSerializer(many=True, source="rules")
