"""Operations of opening a car."""

from rest_framework import serializers

from api.serializers.base import Count, Figure, Groups, Href, Row, Text, Word, Words
from api.serializers.suspension import grouped
from catalog.models import Operation


def needs_of(operation: Operation) -> list[list[str]]:
    return grouped((row.group, row.position, row.needed.code) for row in operation.need_rows.all())


def equipment_of(operation: Operation) -> list[list[str]]:
    return grouped((row.group, row.position, row.equipment.code) for row in operation.equipment_rows.all())


def entails_of(operation: Operation) -> list[str]:
    return [code for _, code in sorted((row.position, row.entailed.code) for row in operation.entail_rows.all())]


def consumables_of(operation: Operation) -> list[str]:
    rows = operation.consumable_rows.all()
    return [code for _, code in sorted((row.position, row.consumable.code) for row in rows)]


def hazards_of(operation: Operation) -> list[str]:
    return [code for _, code in sorted((row.position, row.hazard.code) for row in operation.hazard_rows.all())]


class OperationSerializer(Row):
    """One step of opening the car at an axle; three-point minutes to remove and to refit."""

    table = "operations"
    axle = Text(source="axle.code")
    operation = Text(source="code")
    title = Text()
    text = Text()
    watch_for = Text()
    zone = Word()
    per_side = serializers.BooleanField()
    remove_min = Figure(allow_null=False)
    remove_likely = Figure(allow_null=False)
    remove_max = Figure(allow_null=False)
    refit_min = Figure(allow_null=False)
    refit_likely = Figure(allow_null=False)
    refit_max = Figure(allow_null=False)
    skill = serializers.IntegerField()
    needs = Groups(of=needs_of)
    entails = Words(of=entails_of)
    equipment = Groups(of=equipment_of)
    consumables = Words(of=consumables_of)
    hazards = Words(of=hazards_of)
    alignment = serializers.BooleanField()
    conditions = Text()
    if_absent = Word()
    href = Href("operations", "axle.code", "code")


class FastenerSerializer(Row):
    """A screw, bolt or nut: N m, degrees."""

    table = "operations.fasteners"
    fastener = Text(source="code")
    number = Word()
    count = Count(allow_null=False)
    thread = Word()
    grade = Word()
    head = Word()
    drive = Word()
    counter_hold = Word()
    torque_nm = Figure()
    angle_deg = Figure()
    tighten_at = Word()
    single_use = serializers.BooleanField()
    source = Text()
    note = Text()


class OperationDetailSerializer(OperationSerializer):
    """One step of opening the car with its fasteners."""

    table = "operations.detail"
    fasteners = FastenerSerializer(many=True)
