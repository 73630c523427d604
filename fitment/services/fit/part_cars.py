"""The cars of a part, variant by variant, for lists that are read page by page."""

from collections.abc import Sequence

from catalog.models import Joint, Variant
from fitment.answers.fit import PartCar
from fitment.readers.platforms import part_facts, platform_facts
from fitment.rules.listing import decided_components
from fitment.rules.part_cars import cars_of_variant


def variants_of_part(*, part: str) -> list[str]:
    """The variants, by code, on whose axles a component sits that the part is approved or rejected for.

    Only they can list the part; whether each does, `part_cars` says.
    """
    parts, _ = part_facts([part])
    if part not in parts:
        return []
    components = decided_components(parts[part])
    axles = Joint.objects.filter(component__code__in=components).order_by().values("axle")
    cars = Variant.objects.filter(front_axle__in=axles) | Variant.objects.filter(rear_axle__in=axles)
    return list(cars.order_by("code").values_list("code", flat=True).distinct())


def part_cars(*, part: str, variants: Sequence[str] | None = None) -> list[PartCar]:
    """The intervals of the part at each place it is listed at, of these variants (all: None).

    Ordered by variant, end, location and day.
    """
    parts, _ = part_facts([part])
    if part not in parts:
        return []
    asked = variants_of_part(part=part) if variants is None else variants
    rows = Variant.objects.filter(code__in=asked)
    found: list[PartCar] = []
    for code, maker, chassis in rows.values_list("code", "platform__maker__code", "platform__chassis"):
        facts = platform_facts(maker, chassis)
        variant = next(variant for variant in facts.variants if variant.code == code)
        found.extend(cars_of_variant(facts, parts[part], variant))
    return sorted(found, key=lambda row: (row.variant, row.end, row.location, row.built_from))
