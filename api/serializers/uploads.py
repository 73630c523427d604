"""A workbook handed in, how far its check has come, and what it found."""

from typing import Any

from rest_framework import serializers

from catalog.codes import UploadState

Plain = serializers.Serializer[Any]


class UploadBodySerializer(Plain):
    """A form with the workbook."""

    file = serializers.FileField(help_text="An .xlsx file, or a zip of .csv files; at most 25 MB.")
    replace = serializers.ChoiceField(["yes", "no"], required=False, help_text="The file is the whole catalogue.")
    force = serializers.ChoiceField(["yes", "no"], required=False, help_text="Also over rows changed since.")


class ProgressSerializer(Plain):
    """How far the work has come; `total` 0: it is not known how much there is."""

    stage = serializers.CharField(allow_blank=True)
    done = serializers.IntegerField(min_value=0)
    total = serializers.IntegerField(min_value=0)


class UploadSerializer(Plain):
    """A workbook handed in. `report` is null until the check has ended."""

    id = serializers.UUIDField()
    href = serializers.CharField()
    name = serializers.CharField()
    size = serializers.IntegerField(min_value=0)
    replace = serializers.BooleanField()
    force = serializers.BooleanField()
    state = serializers.ChoiceField(UploadState.values)
    progress = ProgressSerializer()
    made_at = serializers.DateTimeField()
    made_by = serializers.CharField(allow_blank=True)
    ended_at = serializers.DateTimeField(allow_null=True)
    edition_checked = serializers.IntegerField(
        allow_null=True, help_text="The edition that the report compares with, and from which it may be loaded."
    )
    edition_loaded = serializers.IntegerField(allow_null=True)
    report = serializers.DictField(allow_null=True, help_text="Counts, errors, warnings, notes, answers, minutes.")
    load_href = serializers.CharField(
        allow_null=True, help_text="Where to post to load exactly this; null where it cannot be loaded."
    )
