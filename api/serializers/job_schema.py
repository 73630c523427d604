"""The shape of a job in the OpenAPI document."""

from typing import Any

from rest_framework import serializers

from api.schema import CatalogueSerializer

PHASES = ["remove", "fit", "refit", "ride_height", "after"]
SIDES = ["left", "right", "both"]


def texts() -> serializers.ListField:
    return serializers.ListField(child=serializers.CharField())


class ToolSerializer(serializers.Serializer[Any]):
    """A tool: equipment, drive, counter-hold, torque wrench (range in N m), or a torque beyond all wrenches."""

    kind = serializers.ChoiceField(["equipment", "drive", "counter_hold", "torque_wrench", "torque_beyond"])
    code = serializers.CharField()
    usual = serializers.BooleanField(help_text="Proposed by the standard of the head, not recorded.")


class FastenerLineSerializer(serializers.Serializer[Any]):
    """A fastener of the plan, for the sides done."""

    operation = serializers.CharField()
    fastener = serializers.CharField()
    number = serializers.CharField(allow_null=True)
    count = serializers.IntegerField()
    thread = serializers.CharField(allow_blank=True)
    grade = serializers.CharField(allow_blank=True)
    head = serializers.CharField(allow_blank=True)
    drive = serializers.CharField(allow_blank=True)
    usual = serializers.BooleanField()
    counter_hold = serializers.CharField(allow_blank=True)
    torque_nm = serializers.FloatField(allow_null=True)
    angle_deg = serializers.FloatField(allow_null=True)
    tighten_at = serializers.ChoiceField(["fitted", "ride_height"])
    single_use = serializers.BooleanField()
    locking = serializers.CharField(allow_blank=True)
    note = serializers.CharField(allow_blank=True)


class StepSerializer(serializers.Serializer[Any]):
    """One step of work; `minutes` is null where it is done elsewhere."""

    phase = serializers.ChoiceField(PHASES)
    operation = serializers.CharField(allow_null=True)
    part = serializers.CharField(allow_null=True)
    place = serializers.CharField(allow_null=True)
    title = serializers.CharField(allow_blank=True)
    side = serializers.ChoiceField(SIDES, allow_null=True)
    text = serializers.CharField(allow_blank=True)
    watch_for = serializers.CharField(allow_blank=True)
    minutes = serializers.FloatField(allow_null=True)
    elsewhere = serializers.BooleanField()
    tools = ToolSerializer(many=True)
    fasteners = FastenerLineSerializer(many=True)
    cautions = texts()


class JobCarSerializer(serializers.Serializer[Any]):
    """The car, and the variant whose plan is shown."""

    stated = serializers.DictField()
    variants = texts()
    shown = serializers.CharField()


class JobPartSerializer(serializers.Serializer[Any]):
    """A part of the job."""

    part = serializers.CharField()
    end = serializers.ChoiceField(["front", "rear"])
    location = serializers.CharField()
    revision = serializers.CharField()
    verdict = serializers.ChoiceField(["fits", "depends"])
    way = serializers.CharField(allow_blank=True)


class AfterWorkSerializer(serializers.Serializer[Any]):
    """After-work in order."""

    operation = serializers.CharField()
    minutes = serializers.FloatField(allow_null=True)
    elsewhere = serializers.BooleanField()


class BenchWorkSerializer(serializers.Serializer[Any]):
    """Bench work of a part."""

    part = serializers.CharField()
    pieces = serializers.IntegerField()
    minutes = serializers.FloatField(allow_null=True)
    elsewhere = serializers.BooleanField()


class PressToolsSerializer(serializers.Serializer[Any]):
    """Press tools in whole millimetres; null where a size is not recorded."""

    part = serializers.CharField()
    place = serializers.CharField()
    pusher_outside_mm = serializers.IntegerField(allow_null=True)
    cup_inside_mm = serializers.IntegerField(allow_null=True)
    cup_outside_mm = serializers.IntegerField(allow_null=True)
    press_kn = serializers.IntegerField(allow_null=True)


class KitsSerializer(serializers.Serializer[Any]):
    """Kits of a part."""

    part = serializers.CharField()
    revision = serializers.CharField()
    pieces = serializers.IntegerField()
    kits = serializers.IntegerField()


class FastenerOrderSerializer(serializers.Serializer[Any]):
    """Single-use fasteners of one number."""

    number = serializers.CharField(allow_null=True)
    operation = serializers.CharField()
    fastener = serializers.CharField()
    count = serializers.IntegerField()


class ToOrderSerializer(serializers.Serializer[Any]):
    """What to order."""

    kits = KitsSerializer(many=True)
    fasteners = FastenerOrderSerializer(many=True)
    consumables = texts()


class CautionSerializer(serializers.Serializer[Any]):
    """A danger with the steps it belongs to."""

    hazard = serializers.CharField()
    title = serializers.CharField()
    text = serializers.CharField()
    operations = texts()


class ExtraSerializer(serializers.Serializer[Any]):
    """A part that could be fitted too."""

    part = serializers.CharField()
    location = serializers.CharField()
    revision = serializers.CharField()
    extra_minutes = serializers.FloatField()
    extra_grade = serializers.IntegerField()


class GapSerializer(serializers.Serializer[Any]):
    """A piece of equipment that the plan uses; null: there is no plan without it."""

    equipment = serializers.CharField()
    extra_minutes = serializers.FloatField(allow_null=True)


class HomeSerializer(serializers.Serializer[Any]):
    """The plan with what a home has."""

    possible = serializers.BooleanField()
    grade = serializers.IntegerField(allow_null=True)
    grade_set_by = texts()
    minutes = serializers.FloatField(allow_null=True)
    after_minutes = serializers.FloatField(allow_null=True)
    hours = serializers.FloatField(allow_null=True)
    operations = texts()
    after = texts()
    elsewhere = texts()


class RuleAskedSerializer(serializers.Serializer[Any]):
    """What a part asks of others; `met` is null where only the fitter can see to it."""

    part = serializers.CharField()
    rule = serializers.CharField()
    other = serializers.CharField(allow_null=True)
    note = serializers.CharField(allow_blank=True)
    met = serializers.BooleanField(allow_null=True)


class JobSerializer(serializers.Serializer[Any]):
    """A job: the way in, how long, how hard, with what, and what follows."""

    catalogue = CatalogueSerializer()
    car = JobCarSerializer()
    parts = JobPartSerializer(many=True)
    side = serializers.ChoiceField(SIDES)
    grade = serializers.IntegerField()
    grade_set_by = texts()
    minutes = serializers.FloatField()
    after_minutes = serializers.FloatField()
    minutes_median = serializers.FloatField()
    minutes_p80 = serializers.FloatField()
    observations = serializers.IntegerField()
    hours = serializers.FloatField()
    hours_p80 = serializers.FloatField()
    proven = serializers.BooleanField()
    varies = serializers.BooleanField()
    operations = texts()
    after = AfterWorkSerializer(many=True)
    steps = StepSerializer(many=True)
    bench = BenchWorkSerializer(many=True)
    tools = ToolSerializer(many=True)
    press_tools = PressToolsSerializer(many=True)
    fasteners = FastenerLineSerializer(many=True)
    to_order = ToOrderSerializer()
    cautions = CautionSerializer(many=True)
    saved_minutes = serializers.FloatField()
    while_in_there = ExtraSerializer(many=True)
    equipment_gaps = GapSerializer(many=True)
    home = HomeSerializer()
    rules = RuleAskedSerializer(many=True)
    instruction = serializers.CharField()


class InstructionChangeSerializer(serializers.Serializer[Any]):
    """A row of the procedures that an edition changed."""

    edition = serializers.IntegerField()
    sheet = serializers.CharField()
    row = serializers.CharField()
    action = serializers.ChoiceField(["added", "changed", "removed"])
    columns = texts()


class InstructionSerializer(serializers.Serializer[Any]):
    """Whether a printed instruction is current."""

    catalogue = CatalogueSerializer()
    instruction = serializers.CharField()
    current = serializers.BooleanField()
    now = serializers.CharField(allow_null=True, help_text="The code of today's; null where there is no job today.")
    reason = serializers.CharField(allow_null=True, help_text="Why there is no job today.")
    detail = serializers.CharField(allow_null=True)
    since = serializers.IntegerField(allow_null=True, help_text="The edition printed.")
    changes = InstructionChangeSerializer(many=True)
