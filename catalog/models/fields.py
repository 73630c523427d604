"""Column types that many tables share, so that a size has the same precision everywhere."""

from typing import Any

from django.db import models


def Code(**options: Any) -> models.CharField:  # noqa: N802 - reads as a type where it is used
    return models.CharField(max_length=80, **options)


def Text(**options: Any) -> models.TextField:  # noqa: N802 - reads as a type where it is used
    return models.TextField(blank=True, default="", **options)


def Choice(choices: Any, *, default: str = "") -> models.CharField:  # noqa: N802 - reads as a type
    return models.CharField(max_length=24, choices=choices, blank=True, default=default)


def Measure(places: int = 5) -> models.DecimalField:  # noqa: N802 - reads as a type where it is used
    """An optional figure with at most `places` decimals; the unit stands in the column's name."""
    return models.DecimalField(max_digits=places + 9, decimal_places=places, null=True, blank=True)


def Figure(places: int = 5) -> models.DecimalField:  # noqa: N802 - reads as a type where it is used
    """A figure that must be given."""
    return models.DecimalField(max_digits=places + 9, decimal_places=places)


def Day(**options: Any) -> models.DateField:  # noqa: N802 - reads as a type where it is used
    return models.DateField(null=True, blank=True, **options)


def Count(**options: Any) -> models.IntegerField:  # noqa: N802 - reads as a type where it is used
    return models.IntegerField(null=True, blank=True, **options)


def Owner(to: str, name: str) -> models.ForeignKey:  # noqa: N802 - reads as a type where it is used
    """A row that falls with what it belongs to."""
    return models.ForeignKey(to, on_delete=models.CASCADE, related_name=name)


def Link(to: str, name: str, **options: Any) -> models.ForeignKey:  # noqa: N802 - reads as a type
    """A row that may not be taken away while others name it."""
    return models.ForeignKey(to, on_delete=models.PROTECT, related_name=name, **options)


def OptionalLink(to: str, name: str) -> models.ForeignKey:  # noqa: N802 - reads as a type where it is used
    return Link(to, name, null=True, blank=True)
