"""The cars on which a revision may sit, whether or not it is for sale today: those to call when a batch is held."""

from dataclasses import replace

from catalog.codes import Verdict
from catalog.models import Joint, Variant
from fitment.answers.fit import PartCar
from fitment.domain.facts import Part
from fitment.readers.platforms import part_facts, platform_facts
from fitment.rules.listing import decided_components
from fitment.rules.part_cars import cars_of_variant


def revision_cars(*, part: str, revision: str) -> list[PartCar]:
    """The intervals in which the revision alone fits, or may fit, each variant; holds and status are not looked at.

    Ordered by variant, end, location and day; empty where there is no such revision.
    """
    parts, _ = part_facts([part])
    alone = _alone(parts[part], revision) if part in parts else None
    if alone is None:
        return []
    axles = Joint.objects.filter(component__code__in=decided_components(alone)).order_by().values("axle")
    cars = Variant.objects.filter(front_axle__in=axles) | Variant.objects.filter(rear_axle__in=axles)
    rows = cars.distinct().values_list("code", "platform__maker__code", "platform__chassis")
    found: list[PartCar] = []
    for code, maker, chassis in rows:
        facts = platform_facts(maker, chassis)
        variant = next(variant for variant in facts.variants if variant.code == code)
        found += [
            row for row in cars_of_variant(facts, alone, variant) if row.verdict in (Verdict.FITS, Verdict.DEPENDS)
        ]
    return sorted(found, key=lambda row: (row.variant, row.end, row.location, row.built_from))


def _alone(part: Part, letter: str) -> Part | None:
    """The part as if this revision were its only one, and for sale."""
    found = next((revision for revision in part.revisions if revision.letter == letter), None)
    return None if found is None else replace(part, revisions=(replace(found, status="released", held=False),))
