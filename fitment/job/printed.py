"""What of a job is printed, as plain data: the content of an instruction, without date and edition."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any

from fitment.answers.job import Job

# offers and comparisons stand on the page and not on the sheet
NOT_PRINTED = ("saved_minutes", "while_in_there", "equipment_gaps", "home")


def printed(job: Job) -> dict[str, Any]:
    """The printed content of a job: all of it but catalogue edition, its own code, offers and staff's counts."""
    return {
        "car": {"stated": job.car.stated, "shown": job.plan.shown},
        "parts": plain(job.parts),
        "side": job.side,
        "equipment": list(job.equipment),
        "rules": plain(job.rules),
        "plan": {name: value for name, value in plain(job.plan).items() if name not in NOT_PRINTED},
    }


def plain(value: Any) -> Any:
    """A value as JSON data: exact figures as texts, so that equal figures are equal texts."""
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(one) for one in value]
    if isinstance(value, (set, frozenset)):
        return sorted(plain(one) for one in value)
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, float):
        return f"{value:.6g}"
    return value
