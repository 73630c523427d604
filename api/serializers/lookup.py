"""What a number, a stamp or a VIN is, and an enquiry logged."""

from typing import Any

from rest_framework import serializers

Plain = serializers.Serializer[Any]


class VinBodySerializer(Plain):
    """The number, which is read and forgotten."""

    vin = serializers.CharField(help_text="17 signs; spaces and hyphens are passed over.")


class EnquiryBodySerializer(Plain):
    """A question without an answer; at least one field."""

    maker = serializers.CharField(required=False)
    chassis = serializers.CharField(required=False)
    variant = serializers.CharField(required=False)
    location = serializers.CharField(required=False, help_text="`END.LOCATION`.")
    number = serializers.CharField(required=False)
