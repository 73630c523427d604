"""What the steps of opening a car are called."""

from collections.abc import Iterable

from catalog.models import Operation


def step_titles(*, keys: Iterable[tuple[str, str]]) -> dict[tuple[str, str], tuple[str, str]]:
    """(axle, operation) -> (title of the axle, title of the step), in one query."""
    wanted = set(keys)
    rows = Operation.objects.filter(axle__code__in={axle for axle, _ in wanted}, code__in={code for _, code in wanted})
    found = {(axle, code): (of or axle, title or code)
             for axle, code, of, title in rows.values_list("axle__code", "code", "axle__title", "title")}  # fmt: skip
    return {key: found[key] for key in wanted if key in found}
