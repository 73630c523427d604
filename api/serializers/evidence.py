"""Decisions and evidence, column for column as in the workbook."""

from rest_framework import serializers

from api.serializers.base import Count, Day, Figure, Row, Text, Word, Words
from fitment.models import JobTime


class FitDecisionSerializer(Row):
    """An engineer's word that a revision replaces a component."""

    table = "fit_decisions"
    part = Text(source="revision.part.code")
    revision = Text(source="revision.letter")
    component = Text(source="component.code")
    conditions = Text(help_text="In canonical form; empty: none.")
    decision = Text()
    decided_on = Day(allow_null=False)
    orientation_deg = Figure()
    orientation_from = Text()
    remark = Text()


class TestFitSerializer(Row):
    """A revision tried on a real car."""

    __test__ = False  # the name is the trade's; pytest would collect the class
    table = "test_fits"
    ref = Text()
    part = Text(source="revision.part.code")
    revision = Text(source="revision.letter")
    variant = Text(source="variant.code")
    axle = Text(source="axle.code")
    location = Text(source="location.code")
    component = Text(source="component.code")
    side = Word()
    done_on = Day(allow_null=False)
    outcome = Text()
    findings = Text()
    serial = Text()
    holder = Text()
    out_on = Day()
    back_on = Day()
    km = Count()


def parts_of(time: JobTime) -> list[str]:
    """The parts of a recorded job: `PART` or `PART:END.LOCATION`."""
    rows = sorted(time.part_rows.all(), key=lambda row: row.position)
    return [f"{row.part.code}:{row.end}.{row.location}" if row.location else row.part.code for row in rows]


def equipment_of(time: JobTime) -> list[str]:
    return time.equipment.split()


class JobTimeSerializer(Row):
    """Minutes taken for a stated scope."""

    table = "job_times"
    ref = Text()
    variant = Text(source="variant.code")
    parts = Words(of=parts_of)
    side = Text()
    equipment = Words(of=equipment_of, help_text="`shop`, `home` or codes; empty: of the shop.")
    after_work = serializers.BooleanField()
    minutes = Figure(allow_null=False)
    done_on = Day(allow_null=False)
    car = Word(help_text="A pseudonym.")


class MeasurementSerializer(Row):
    """A dimension of a component on samples, in mm."""

    table = "measurements"
    component = Text(source="component.code")
    feature = Text()
    measured_on = Day(allow_null=False)
    mean_mm = Figure(allow_null=False)
    samples = serializers.IntegerField()
    spread_mm = Figure()
    uncertainty_mm = Figure(allow_null=False, help_text="Of the instrument, k = 1.")


class StanceSerializer(Row):
    """The developers' standing word on an axle and location."""

    table = "stances"
    axle = Text(source="axle.code")
    location = Text(source="location.code")
    stance = Text()
    reason = Text()
    next_step = Text()
