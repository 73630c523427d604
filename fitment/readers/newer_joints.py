"""Reads which components the number chain of a component leads on to."""

from collections import defaultdict
from collections.abc import Collection

from catalog.models import Number, Supersession
from fitment.readers.editions import kept_for_edition


@kept_for_edition(entries=1)
def newer_components() -> dict[str, tuple[str, ...]]:
    """By component, the other components that its numbers are followed by (two queries).

    Supersessions are followed from old to new, transitively, among the numbers of one issuer. A newer arm that
    carries the same joint again, beside a newer one elsewhere, says nothing of that joint.
    """
    components: dict[tuple[str, str], set[str]] = defaultdict(set)
    rows = Number.objects.exclude(component=None).order_by()
    for issuer, normal, component in rows.values_list("issuer", "normal", "component__code"):
        components[issuer, normal].add(component)
    newer: dict[tuple[str, str], list[str]] = defaultdict(list)
    for issuer, old, new in Supersession.objects.order_by().values_list("issuer", "old_normal", "new_normal"):
        newer[issuer, old].append(new)
    found: dict[str, set[str]] = defaultdict(set)
    for (issuer, normal), own in components.items():
        for reached in _forwards(issuer, normal, newer):
            carried = components.get((issuer, reached), set())
            for component in own - carried:
                found[component] |= carried - own
    return {component: tuple(sorted(others)) for component, others in found.items() if others}


def _forwards(issuer: str, start: str, newer: dict[tuple[str, str], list[str]]) -> Collection[str]:
    reached: set[str] = set()
    waiting = [start]
    while waiting:
        for number in newer.get((issuer, waiting.pop()), ()):
            if number not in reached:
                reached.add(number)
                waiting.append(number)
    return reached
