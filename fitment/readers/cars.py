"""Reads cars: variants with their options, and the axles under them."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping

from django.db.models import Q, QuerySet

from catalog.conditions import parse_conditions
from catalog.models import Axle, Joint, Location, Variant, VariantOption
from catalog.windows import Window
from fitment.domain import facts as pure
from fitment.domain.facts import Place

_COLUMNS = [
    "pk",
    "code",
    "platform__maker__code",
    "platform__chassis",
    "designation",
    "body",
    "engine",
    "drivetrain",
    "steering",
    "market",
    "built_from",
    "built_to",
    "front_axle__code",
    "rear_axle__code",
    "in_operation",
]

_NAMES = [
    "code",
    "maker",
    "chassis",
    "designation",
    "body",
    "engine",
    "drivetrain",
    "steering",
    "market",
    "built_from",
    "built_to",
    "front_axle",
    "rear_axle",
]

Cars = tuple[tuple[pure.Variant, ...], dict[str, pure.Option]]


def read_cars(variants: QuerySet[Variant]) -> Cars:
    """Variants by code, and the options that any of them can have (two queries)."""
    rows = list(variants.order_by("code").values_list(*_COLUMNS))
    options: dict[str, pure.Option] = {}
    able: dict[int, tuple[set[str], set[str]]] = defaultdict(lambda: (set(), set()))
    links = VariantOption.objects.filter(variant__in=variants.order_by().values("pk"))
    for pk, standard, code, group, required, title in links.values_list(
        "variant_id", "standard", "option__code", "option__group", "option__required", "option__title"
    ):
        able[pk][standard].add(code)
        options[code] = pure.Option(code, group, required, title)
    cars = tuple(
        pure.Variant(
            **dict(zip(_NAMES, row[1:14], strict=True)),
            options=frozenset(able[row[0]][False]),
            standard=frozenset(able[row[0]][True]),
            in_operation=row[14] or 0,
        )
        for row in rows
    )
    return cars, dict(sorted(options.items()))


def read_axles(codes: Collection[str], places: Iterable[Place] | None = None) -> dict[str, pure.Axle]:
    """Axles with the locations of their topologies and their joints (three queries).

    `places`, where given, are the only ones whose joints are read.
    """
    axles = list(Axle.objects.filter(code__in=codes).values_list("code", "end", "topology_id"))
    locations: dict[int, dict[str, bool]] = defaultdict(dict)
    topologies = {topology for _, _, topology in axles}
    rows = Location.objects.filter(topology__in=topologies).order_by("code")
    for topology, code, in_range in rows.values_list("topology_id", "code", "in_range"):
        locations[topology][code] = in_range
    joints = _joints(codes, places)
    return {code: pure.Axle(code, end, locations[topology], joints.get(code, {})) for code, end, topology in axles}


def _joints(codes: Collection[str], places: Iterable[Place] | None) -> Mapping[str, dict[str, tuple[pure.Joint, ...]]]:
    rows = Joint.objects.filter(axle__code__in=codes)
    if places is not None:
        wanted = Q(pk__in=())
        for end, location in places:
            wanted |= Q(axle__end=end, location__code=location)
        rows = rows.filter(wanted)
    found: dict[str, dict[str, list[pure.Joint]]] = defaultdict(lambda: defaultdict(list))
    columns = [
        "axle__code",
        "location__code",
        "component__code",
        "built_from",
        "built_to",
        "conditions",
        "alternative",
        "tell_apart",
    ]
    for axle, location, component, first, last, conditions, alternative, tell_apart in rows.order_by("pk").values_list(
        *columns
    ):
        found[axle][location].append(
            pure.Joint(component, Window(first, last), parse_conditions(conditions), alternative, tell_apart)
        )
    return {axle: {place: tuple(several) for place, several in by.items()} for axle, by in found.items()}


def read_location_ends() -> dict[str, frozenset[str]]:
    """The ends of the car at which each location code exists (one query)."""
    ends: dict[str, set[str]] = defaultdict(set)
    for code, end in Location.objects.order_by().values_list("code", "topology__end").distinct():
        ends[code].add(end)
    return {code: frozenset(several) for code, several in ends.items()}
