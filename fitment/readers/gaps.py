"""Reads the whole catalogue for what is amiss in it."""

from dataclasses import dataclass

from catalog.models import Axle, Fastener, Number, Operation, Part, Variant, Way
from fitment.domain.facts import Facts
from fitment.models import Measurement
from fitment.readers.cars import read_axles, read_cars
from fitment.readers.parts import read_parts
from fitment.readers.platforms import as_of


@dataclass(frozen=True, slots=True)
class AimlessNumber:
    """A number that stands for nothing known yet."""

    issuer: str
    number: str
    kind: str


def read_everything() -> Facts:
    """Every variant, axle and part, without measured matches (thirteen queries)."""
    variants, options = read_cars(Variant.objects.all())
    axles = read_axles(list(Axle.objects.values_list("code", flat=True)))
    return Facts(variants, axles, options, read_parts(Part.objects.all()), as_of())


def read_ways() -> frozenset[tuple[str, str]]:
    """The axles and locations that have a way in (one query)."""
    return frozenset(Way.objects.order_by().values_list("axle__code", "location__code").distinct())


def read_worked_axles() -> frozenset[str]:
    """The axles with at least one operation (one query)."""
    return frozenset(Operation.objects.order_by().values_list("axle__code", flat=True).distinct())


def read_measured() -> frozenset[str]:
    """The components with a measurement (one query)."""
    return frozenset(Measurement.objects.order_by().values_list("component__code", flat=True).distinct())


def read_aimless_numbers() -> list[AimlessNumber]:
    """Numbers without a target; a fastener's has one where an operation has a fastener of it (two queries)."""
    fasteners = set(Fastener.objects.exclude(normal="").order_by().values_list("normal", flat=True).distinct())
    rows = Number.objects.filter(component=None, part=None, revision=None).order_by("issuer", "normal")
    return [
        AimlessNumber(issuer, number, kind)
        for issuer, number, normal, kind in rows.values_list("issuer", "number", "normal", "kind")
        if not (kind == "fastener" and normal in fasteners)
    ]
