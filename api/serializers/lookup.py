"""What a number, a stamp or a VIN is, and an enquiry logged."""

from typing import Any

from rest_framework import serializers

from api.schema import CatalogueSerializer
from api.serializers.base import Count, Day, Row, Text, Word, Words

Plain = serializers.Serializer[Any]


class AskedSerializer(Plain):
    """The question as it was put, and the normal form that was looked for."""

    number = Text()
    normal = Text()
    issuer = Word()


class TargetSerializer(Plain):
    """What the number stands for; `via`: the number forwards that has the target, null for its own."""

    component = Word()
    part = Word()
    revision = Word()
    side = Word()
    via = Word()


class LinkedSerializer(Plain):
    """Another number of the chain, as printed."""

    number = Text()
    with_rework = serializers.BooleanField()


class VariantWindowSerializer(Plain):
    """The days on which a variant may have the joint row."""

    variant = Text()
    built_from = Day()
    built_to = Day()


class CarRowSerializer(Plain):
    """One joint row of a target component."""

    component = Text()
    end = Text()
    axle = Text()
    location = Text()
    side = Word()
    built_from = Day()
    built_to = Day()
    conditions = serializers.CharField(allow_blank=True)
    alternative = serializers.BooleanField()
    variants = VariantWindowSerializer(many=True)


class UpgradeSerializer(Plain):
    """A part that fits, or depends, over all possible cars with the component at the place."""

    component = Text()
    end = Text()
    location = Text()
    part = Text()
    revision = Word()
    verdict = Text()
    other_revisions = Words()


class FastenerUseSerializer(Plain):
    """A step one of whose fasteners has the number."""

    axle = Text()
    operation = Text()
    fastener = Text()


class MatchSerializer(Plain):
    """The number of one issuer."""

    issuer = Text()
    number = Text()
    kind = Text()
    targets = TargetSerializer(many=True)
    current = LinkedSerializer(many=True)
    replaces = LinkedSerializer(many=True)
    replaced_by = LinkedSerializer(many=True)
    cars = CarRowSerializer(many=True)
    upgrades = UpgradeSerializer(many=True)
    fasteners = FastenerUseSerializer(many=True)


class StampHoldSerializer(Row):
    """An open hold on the batch; both batches null: the whole revision."""

    table = "cross_reference.holds"
    batch_from = Word()
    batch_to = Word()
    look_for = Text()
    opened_on = Day(allow_null=False)
    cause = Text()


class StampRuleSerializer(Plain):
    """What the part asks of others."""

    rule = Text()
    other = Word()


class StampSerializer(Plain):
    """What a stamp `PART-REV BATCH` says."""

    part = Text()
    revision = Text()
    batch = Word()
    status = Text()
    holds = StampHoldSerializer(many=True)
    pairs_with = Words()
    rules = StampRuleSerializer(many=True)
    cars_href = Text()


class NearSerializer(Plain):
    """A number like the one asked for."""

    issuer = Text()
    number = Text()
    by = serializers.ChoiceField(["folded", "prefix"])


class LookUpSerializer(Plain):
    """The answer to one look-up, known or not."""

    catalogue = CatalogueSerializer()
    asked = AskedSerializer()
    matches = MatchSerializer(many=True)
    stamp = StampSerializer(allow_null=True)
    near = NearSerializer(many=True)


class VinBodySerializer(Plain):
    """The number, which is read and forgotten."""

    vin = serializers.CharField(help_text="17 signs; spaces and hyphens are passed over.")


class VinAnswerSerializer(Plain):
    """What a VIN tells of the car; the VIN itself is not repeated."""

    catalogue = CatalogueSerializer()
    valid = serializers.BooleanField()
    check_digit = serializers.ChoiceField(
        ["right", "wrong"], help_text="`wrong` only where the region prescribes none: perhaps a typing error."
    )
    maker = Word()
    model_year = Count()
    model_year_advisory = serializers.BooleanField(help_text="Outside North America the year narrows nothing.")
    variants = Words()
    query = serializers.DictField(child=serializers.CharField(), help_text="Parameters of `fitment/`.")
    href = Word(help_text="The question that follows, or null where nothing is known of the car.")


class EnquiryBodySerializer(Plain):
    """A question without an answer; at least one field."""

    maker = serializers.CharField(required=False)
    chassis = serializers.CharField(required=False)
    variant = serializers.CharField(required=False)
    location = serializers.CharField(required=False, help_text="`END.LOCATION`.")
    number = serializers.CharField(required=False)
