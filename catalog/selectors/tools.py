"""What equipment is called."""

from collections.abc import Iterable

from catalog.models import Equipment


def tool_titles(*, codes: Iterable[str]) -> dict[str, str]:
    """Titles by code (one query)."""
    return dict(Equipment.objects.filter(code__in=list(codes)).values_list("code", "title"))
