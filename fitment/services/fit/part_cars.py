"""The cars of a part or of one revision, variant by variant, for lists that are read page by page."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from catalog.codes import SOME_FIT, Status
from catalog.models import Joint, Variant
from fitment.answers.fit import PartCar
from fitment.domain.facts import Part
from fitment.readers.platforms import derivations_of, part_facts, platform_facts
from fitment.rules.answer import verdict_intervals
from fitment.rules.outcome import decided_components


def variants_of_part(*, part: str) -> list[str]:
    """The variants, by code, on whose axles a component sits that the part is approved or rejected for.

    Only they can list the part; whether each does, `part_cars` says.
    """
    parts, _ = part_facts([part])
    return _variants_with(parts[part]) if part in parts else []


def part_cars(*, part: str, variants: Sequence[str] | None = None) -> list[PartCar]:
    """The intervals of the part at each place it is listed at, of these variants (all: None).

    Ordered by variant, end, location and day.
    """
    parts, _ = part_facts([part])
    if part not in parts:
        return []
    return _ordered(_intervals(parts[part], _variants_with(parts[part]) if variants is None else variants))


def revision_cars(*, part: str, revision: str) -> list[PartCar]:
    """The intervals in which the revision alone fits, or may fit, each variant; holds and status are not looked at.

    Ordered by variant, end, location and day; empty where there is no such revision.
    """
    parts, _ = part_facts([part])
    alone = _alone(parts[part], revision) if part in parts else None
    if alone is None:
        return []
    return _ordered(row for row in _intervals(alone, _variants_with(alone)) if row.verdict in SOME_FIT)


def _alone(part: Part, letter: str) -> Part | None:
    """The part as if this revision were its only one, and for sale."""
    found = next((revision for revision in part.revisions if revision.letter == letter), None)
    return None if found is None else replace(part, revisions=(replace(found, status=Status.RELEASED, held=False),))


def _variants_with(part: Part) -> list[str]:
    axles = Joint.objects.filter(component__code__in=decided_components(part)).order_by().values("axle")
    cars = Variant.objects.filter(front_axle__in=axles) | Variant.objects.filter(rear_axle__in=axles)
    return list(cars.order_by("code").values_list("code", flat=True).distinct())


def _intervals(part: Part, variants: Iterable[str]) -> Iterator[PartCar]:
    rows = Variant.objects.filter(code__in=variants)
    for code, *platform in rows.values_list("code", "platform__maker__code", "platform__chassis"):
        facts = platform_facts(*platform)
        variant = next(variant for variant in facts.variants if variant.code == code)
        yield from verdict_intervals(facts, part, variant, derivations_of(facts))


def _ordered(rows: Iterable[PartCar]) -> list[PartCar]:
    return sorted(rows, key=lambda row: (row.variant, row.end, row.location, row.built_from))
