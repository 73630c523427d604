"""The facts of one answer: those of the platform the car is of, read once an edition, and of the parts asked for.

What is read does not grow with the catalogue: one platform's variants, their axles, and the parts with a decision
on a component of those. Only where several platforms are left, or no car is, are other variants looked at.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date

from django.db.models import Q, QuerySet

from catalog.models import Joint, Number, Part, Supersession, Variant
from catalog.selectors.cars import LOOKUPS
from catalog.windows import Window
from fitment.domain import facts as pure
from fitment.domain.description import Description
from fitment.domain.facts import Facts, Place
from fitment.readers.cars import read_axles, read_cars, read_location_ends
from fitment.readers.editions import at_edition, kept_for_edition
from fitment.readers.interfaces import read_matching
from fitment.readers.parts import parts_decided_for, read_parts
from fitment.rules.derivations import Derivations


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


PLATFORMS_KEPT = 64
PARTS_KEPT = 256
CARS_KEPT = 20_000


@kept_for_edition(entries=PLATFORMS_KEPT)
def platform_facts(maker: str, chassis: str) -> Facts:
    """Everything that answers about cars of one platform read."""
    rows = Variant.objects.filter(platform__maker__code=maker, platform__chassis=chassis)
    variants, options = read_cars(rows)
    axles = read_axles(_axles_of(variants))
    components = {joint.component for axle in axles.values() for several in axle.joints.values() for joint in several}
    parts = read_parts(Part.objects.filter(pk__in=parts_decided_for(components)), components)
    newer = newer_components()
    return Facts(
        as_of=as_of(),
        variants=variants,
        axles=axles,
        options=options,
        parts=parts,
        location_ends=location_ends(),
        drops_in=read_matching(components, parts, axles),
        newer={component: newer[component] for component in sorted(components & newer.keys())},
    )


@kept_for_edition(entries=PLATFORMS_KEPT, reads=False)
def derivations_of(facts: Facts) -> Derivations:
    """What the rules have derived from the facts of one platform, kept as long as they are."""
    return Derivations(facts)


@kept_for_edition(entries=CARS_KEPT)
def platform_of(variant: str) -> tuple[str, str] | None:
    """Maker and chassis of a variant (one query)."""
    rows = Variant.objects.filter(code=variant)
    return rows.values_list("platform__maker__code", "platform__chassis").first()


@kept_for_edition(entries=1)
def location_ends() -> dict[str, frozenset[str]]:
    return read_location_ends()


def cars_facts(description: Description) -> Facts:
    """The variants that agree with what is stated of the variant itself, on however many platforms.

    Of their joints only those at places whose component is stated are read, and no parts.
    """
    return _cars(tuple(description.texts().items()), description.window(), stated_places(description))


def all_cars_facts(description: Description) -> Facts:
    """Every variant, to find out which stated facts contradict each other."""
    return cars_facts(Description(components=description.components))


@kept_for_edition(entries=16)
def _cars(texts: tuple[tuple[str, str], ...], window: Window, places: tuple[Place, ...]) -> Facts:
    rows = Variant.objects.filter(**{LOOKUPS[name]: value for name, value in texts})
    variants, options = read_cars(_built_in(rows, window))
    axles = read_axles(_axles_of(variants) if places else (), places)
    if not places:
        axles = {code: pure.Axle(code, "", {}) for code in _axles_of(variants)}
    return Facts(variants, axles, options, {}, as_of(), location_ends=location_ends())


def as_of() -> date | None:
    with at_edition() as current:
        return current.as_of


def part_facts(codes: Iterable[str]) -> tuple[dict[str, pure.Part], dict[str, frozenset[Place]]]:
    """Parts asked for by name, with all their decisions, and every place of the components these are on."""
    parts: dict[str, pure.Part] = {}
    placements: dict[str, frozenset[Place]] = {}
    for code in codes:
        part, places = _part(code)
        if part is not None:
            parts[code] = part
            placements |= places
    return parts, placements


@kept_for_edition(entries=PARTS_KEPT)
def _part(code: str) -> tuple[pure.Part | None, dict[str, frozenset[Place]]]:
    part = read_parts(Part.objects.filter(code=code)).get(code)
    if part is None:
        return None, {}
    components = {component for revision in part.revisions for component in revision.decisions}
    found: dict[str, set[Place]] = defaultdict(set)
    rows = Joint.objects.filter(component__code__in=components).order_by()
    for component, *place in rows.values_list("component__code", "axle__end", "location__code").distinct():
        found[component].add((place[0], place[1]))
    return part, {component: frozenset(places) for component, places in found.items()}


def stated_places(description: Description) -> tuple[Place, ...]:
    return tuple(place for place, _ in description.components)


def _axles_of(variants: Iterable[pure.Variant]) -> set[str]:
    return {axle for variant in variants for axle in (variant.front_axle, variant.rear_axle) if axle is not None}


def _built_in(rows: QuerySet[Variant], window: Window) -> QuerySet[Variant]:
    if window.first is not None:
        rows = rows.filter(Q(built_to=None) | Q(built_to__gte=window.first))
    if window.last is not None:
        rows = rows.filter(built_from__lte=window.last)
    return rows
