"""Reads the whole catalogue: for coverage, with demand and stances that count there, and for what is amiss in it."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, replace

from django.db.models import Q, QuerySet

from catalog.chains import Chain, Step
from catalog.codes import Position
from catalog.models import Axle, Fastener, Number, Operation, Part, Supersession, Variant, Way
from catalog.numbers import normal_form
from fitment.coverage.summaries import OpenEnquiry
from fitment.domain.facts import Facts
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.matching import Matching
from fitment.models import Enquiry, Measurement, Stance
from fitment.readers.cars import read_axles, read_cars
from fitment.readers.interfaces import read_matching
from fitment.readers.parts import parts_decided_for, parts_tried_on, read_parts
from fitment.readers.platforms import as_of


def whole_facts(matching: Matching) -> Facts:
    """Every variant, axle and part; what drops in is known of `matching`."""
    variants, options = read_cars(Variant.objects.all())
    return Facts(
        variants=variants,
        axles=read_axles(list(Axle.objects.values_list("code", flat=True))),
        options=options,
        parts=read_parts(Part.objects.all()),
        as_of=as_of(),
        drops_in=matching,
    )


def whole_matching() -> Matching:
    """Every component against every released or prototype revision at every place."""
    return read_matching(None, None, None)


def axles_facts(axles: Collection[str]) -> Facts:
    """The cars that have any of these axles, and their joints there; no parts."""
    variants, options = read_cars(_with_axle(axles))
    return Facts(variants, read_axles(axles), options, {}, as_of())


def cells_facts(axles: Collection[str], components: Collection[str], matching: Matching | None = None) -> Facts:
    """The cars that have any of these axles, their joints there, and all that is said of these components."""
    named = parts_decided_for(components) | parts_tried_on(components)
    parts = read_parts(Part.objects.filter(pk__in=named), components)
    return replace(axles_facts(axles), parts=parts, drops_in=matching or frozenset())


def _with_axle(codes: Collection[str]) -> QuerySet[Variant]:
    return Variant.objects.filter(Q(front_axle__code__in=codes) | Q(rear_axle__code__in=codes))


def places_not_offered() -> frozenset[AxlePlace]:
    """The places whose stance is `not_offered`."""
    rows = Stance.objects.filter(stance=Position.NOT_OFFERED)
    return frozenset(AxlePlace(*row) for row in rows.values_list("axle__code", "location__code"))


def read_enquiries() -> list[OpenEnquiry]:
    """What was asked and found no answer, with the components its numbers lead to."""
    rows = list(Enquiry.objects.values_list("maker", "chassis", "variant", "location", "number", "count"))
    leads = _components_of({normal_form(number) for *_, number, _ in rows if number})
    return [
        OpenEnquiry(maker, chassis, variant, place, leads.get(normal_form(number)) if number else None, count)
        for maker, chassis, variant, place, number, count in rows
    ]


def _components_of(numbers: Collection[str]) -> dict[str, frozenset[str]]:
    """The components that numbers stand for, by normal form: their own target, else the nearest forwards.

    A number asked about names no issuer, so every issuer that has it counts.
    """
    if not numbers:
        return {}
    targets: dict[tuple[str, str], set[str | None]] = defaultdict(set)
    with_target = Number.objects.exclude(component=None, part=None, revision=None).order_by()
    for issuer, normal, component in with_target.values_list("issuer", "normal", "component__code"):
        targets[issuer, normal].add(component)
    steps: dict[str, list[Step]] = defaultdict(list)
    for issuer, *step in Supersession.objects.order_by().values_list("issuer", "old_normal", "new_normal", "exchange"):
        steps[issuer].append(Step(*step))
    found: dict[str, set[str]] = defaultdict(set)
    for issuer in {issuer for issuer, _ in targets} | steps.keys():
        chain = Chain(steps.get(issuer, ()))
        for number in numbers:
            nearest = [number]
            if (issuer, number) not in targets:
                nearest = chain.nearest_forwards(number, lambda at, of=issuer: (of, at) in targets)  # type: ignore[misc]
            for at in nearest:
                found[number].update(code for code in targets.get((issuer, at), ()) if code is not None)
    return {number: frozenset(found[number]) for number in numbers}


@dataclass(frozen=True, slots=True)
class AimlessNumber:
    """A number that stands for nothing known yet."""

    issuer: str
    number: str
    kind: str


def read_everything() -> Facts:
    """Every variant, axle and part, without measured matches (thirteen queries)."""
    variants, options = read_cars(Variant.objects.all())
    axles = read_axles(list(Axle.objects.values_list("code", flat=True)))
    return Facts(variants, axles, options, read_parts(Part.objects.all()), as_of())


def read_ways() -> frozenset[tuple[str, str]]:
    """The axles and locations that have a way in (one query)."""
    return frozenset(Way.objects.order_by().values_list("axle__code", "location__code").distinct())


def read_worked_axles() -> frozenset[str]:
    """The axles with at least one operation (one query)."""
    return frozenset(Operation.objects.order_by().values_list("axle__code", flat=True).distinct())


def read_measured() -> frozenset[str]:
    """The components with a measurement (one query)."""
    return frozenset(Measurement.objects.order_by().values_list("component__code", flat=True).distinct())


def read_aimless_numbers() -> list[AimlessNumber]:
    """Numbers without a target; a fastener's has one where an operation has a fastener of it (two queries)."""
    fasteners = set(Fastener.objects.exclude(normal="").order_by().values_list("normal", flat=True).distinct())
    rows = Number.objects.filter(component=None, part=None, revision=None).order_by("issuer", "normal")
    return [
        AimlessNumber(issuer, number, kind)
        for issuer, number, normal, kind in rows.values_list("issuer", "number", "normal", "kind")
        if not (kind == "fastener" and normal in fasteners)
    ]
