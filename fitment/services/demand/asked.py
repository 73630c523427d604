"""The questions without an answer that were logged, for those who answer the telephone."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Max, Sum

from fitment.models import Enquiry

FIELDS = ("maker", "chassis", "variant", "location", "number")


@dataclass(frozen=True, slots=True)
class AskedRow:
    """A question, how often it was asked, and when last; empty fields were not stated."""

    maker: str
    chassis: str
    variant: str
    location: str
    number: str
    count: int
    last: date


def questions_recent(*, most: int) -> list[AskedRow]:
    """The latest, a row a day."""
    rows = Enquiry.objects.order_by("-asked_on", "-pk").values_list(*FIELDS, "count", "asked_on")
    return [AskedRow(*row) for row in rows[:most]]


def questions_by_count(*, most: int) -> list[AskedRow]:
    """The most asked over all days."""
    rows = Enquiry.objects.values(*FIELDS).annotate(times=Sum("count"), last=Max("asked_on"))
    ordered = rows.order_by("-times", "-last", *FIELDS).values_list(*FIELDS, "times", "last")
    return [AskedRow(*row) for row in ordered[:most]]
