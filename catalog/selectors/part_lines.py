"""What a line about a part says of it."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.models import Part


@dataclass(frozen=True, slots=True)
class PartLine:
    code: str
    title: str
    technology: str
    duty: str


def part_lines(*, codes: Iterable[str]) -> dict[str, PartLine]:
    """Parts by code (one query)."""
    rows = Part.objects.filter(code__in=list(codes)).values_list("code", "title", "technology__title", "duty")
    return {row[0]: PartLine(*row) for row in rows}
