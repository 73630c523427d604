"""Makers, their platforms and cars, as a person walks down to one car."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q, Sum

from catalog.models import Maker, Platform, Variant


@dataclass(frozen=True, slots=True)
class MakerRow:
    code: str
    title: str


@dataclass(frozen=True, slots=True)
class PlatformRow:
    maker: str
    chassis: str
    title: str
    built_from: date
    built_to: date | None


@dataclass(frozen=True, slots=True)
class VariantRow:
    """A car as a list shows it."""

    code: str
    maker: str
    maker_title: str
    chassis: str
    designation: str
    body: str
    engine: str
    drivetrain: str
    steering: str
    market: str
    built_from: date
    built_to: date | None


_COLUMNS = (
    "code", "platform__maker__code", "platform__maker__title", "platform__chassis", "designation", "body", "engine",
    "drivetrain", "steering", "market", "built_from", "built_to",
)  # fmt: skip


def makers_with_cars() -> list[MakerRow]:
    """Makers that have a variant, by title."""
    rows = Maker.objects.filter(platforms__variants__isnull=False).distinct().order_by("title", "code")
    return [MakerRow(*row) for row in rows.values_list("code", "title")]


def platforms_of(*, maker: str) -> list[PlatformRow]:
    """Platforms of a maker that have a variant, by chassis."""
    return _platforms(maker__code=maker)


def platforms_with_cars() -> list[PlatformRow]:
    """Platforms of all makers that have a variant, by maker and chassis."""
    return _platforms()


def _platforms(**wanted: object) -> list[PlatformRow]:
    rows = Platform.objects.filter(variants__isnull=False, **wanted).distinct().order_by("maker__code", "chassis")
    return [PlatformRow(*row) for row in rows.values_list("maker__code", "chassis", "title", "built_from", "built_to")]


def variants_of(*, maker: str, chassis: str) -> list[VariantRow]:
    """Cars of a platform, as they are told apart."""
    return _rows(platform__maker__code=maker, platform__chassis=chassis)


def variants_by_code(*, codes: Iterable[str]) -> list[VariantRow]:
    """These cars, in the order of a list."""
    return _rows(code__in=list(codes))


def variants_of_axle(*, axle: str) -> list[VariantRow]:
    """Cars that have an axle, at whichever end."""
    return _rows(Q(front_axle__code=axle) | Q(rear_axle__code=axle))


def _rows(*where: Q, **wanted: object) -> list[VariantRow]:
    rows = Variant.objects.filter(*where, **wanted).order_by(
        "platform__maker__code", "platform__chassis", "designation", "body", "engine", "drivetrain", "steering",
        "market", "built_from", "code",
    )  # fmt: skip
    return [VariantRow(*row) for row in rows.values_list(*_COLUMNS)]


def in_operation(*, codes: Iterable[str]) -> int:
    """How many cars of these variants are on the road, as far as counted; for staff."""
    counted = Variant.objects.filter(code__in=list(codes)).aggregate(cars=Sum("in_operation"))
    return counted["cars"] or 0
