"""Makers, their platforms and cars, as a person walks down to one car; what can be stated of one, and its layouts."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import Q, Sum

from catalog.codes import OF_VARIANT, CarAttribute, End
from catalog.models import Location, Maker, Option, Platform, Variant


@dataclass(frozen=True, slots=True)
class MakerRow:
    code: str
    title: str


@dataclass(frozen=True, slots=True)
class PlatformRow:
    maker: str
    chassis: str
    title: str
    built_from: date
    built_to: date | None


@dataclass(frozen=True, slots=True)
class VariantRow:
    """A car as a list shows it."""

    code: str
    maker: str
    maker_title: str
    chassis: str
    designation: str
    body: str
    engine: str
    drivetrain: str
    steering: str
    market: str
    built_from: date
    built_to: date | None

    def __str__(self) -> str:
        """What the car is called: designation and body, then engine."""
        return f"{self.designation} {self.body}, {self.engine}"

    @property
    def in_full(self) -> str:
        """The car with all that tells it apart from those of its platform."""
        return f"{self}, {self.drivetrain}, {self.steering}-hand, {self.market}"


LOOKUPS = {name.value: name.value for name in CarAttribute} | {
    CarAttribute.VARIANT.value: "code",
    CarAttribute.MAKER.value: "platform__maker__code",
    CarAttribute.CHASSIS.value: "platform__chassis",
}
"""Where a query on variants finds each attribute of a car."""
_PLATFORM = ("platform__maker__code", "platform__maker__title", "platform__chassis")


def makers_with_cars() -> list[MakerRow]:
    """Makers that have a variant, by title."""
    rows = Maker.objects.filter(platforms__variants__isnull=False).distinct().order_by("title", "code")
    return [MakerRow(*row) for row in rows.values_list("code", "title")]


def platforms_of(*, maker: str) -> list[PlatformRow]:
    """Platforms of a maker that have a variant, by chassis."""
    return _platforms(maker__code=maker)


def platforms_with_cars() -> list[PlatformRow]:
    """Platforms of all makers that have a variant, by maker and chassis."""
    return _platforms()


def _platforms(**wanted: object) -> list[PlatformRow]:
    rows = Platform.objects.filter(variants__isnull=False, **wanted).distinct().order_by("maker__code", "chassis")
    return [PlatformRow(*row) for row in rows.values_list("maker__code", "chassis", "title", "built_from", "built_to")]


def variants_of(*, maker: str, chassis: str) -> list[VariantRow]:
    """Cars of a platform, as they are told apart."""
    return _rows(platform__maker__code=maker, platform__chassis=chassis)


def variants_by_code(*, codes: Iterable[str]) -> list[VariantRow]:
    """These cars, in the order of a list."""
    return _rows(code__in=list(codes))


def variants_of_axle(*, axle: str) -> list[VariantRow]:
    """Cars that have an axle, at whichever end."""
    return _rows(Q(front_axle__code=axle) | Q(rear_axle__code=axle))


def _rows(*where: Q, **wanted: object) -> list[VariantRow]:
    order = ("platform__maker__code", "platform__chassis", *OF_VARIANT, "built_from", "code")
    columns = ("code", *_PLATFORM, *OF_VARIANT, "built_from", "built_to")
    rows = Variant.objects.filter(*where, **wanted).order_by(*order)
    return [VariantRow(*row) for row in rows.values_list(*columns)]


def in_operation(*, codes: Iterable[str]) -> int:
    """How many cars of these variants are on the road, as far as counted; for staff."""
    counted = Variant.objects.filter(code__in=list(codes)).aggregate(cars=Sum("in_operation"))
    return counted["cars"] or 0


@dataclass(frozen=True, slots=True)
class LocationRow:
    """A joint of a topology."""

    end: str
    topology: str
    topology_title: str
    code: str
    link: str
    link_end: str
    title: str
    role: str
    in_range: bool
    also_called: str


def layouts_of_variants(*, codes: Iterable[str]) -> list[LocationRow]:
    """The joints of all topologies that these variants have, by end, topology and code (two queries)."""
    wanted = list(codes)
    pairs = Variant.objects.filter(code__in=wanted).values_list("front_axle__topology_id", "rear_axle__topology_id")
    topologies = {pk for pair in pairs.distinct() for pk in pair if pk is not None}
    rows = Location.objects.filter(topology_id__in=topologies).order_by("topology__end", "topology__code", "code")
    of_topology = ("topology__end", "topology__code", "topology__title")
    columns = (*of_topology, "code", "link", "link_end", "title", "role", "in_range", "also_called")
    return [LocationRow(*row) for row in rows.values_list(*columns)]


def axle_of_layout(*, codes: Iterable[str]) -> dict[tuple[str, str], str]:
    """By end and topology the axle that all of these variants with that topology have there (two queries)."""
    variants = Variant.objects.filter(code__in=list(codes)).order_by()
    axles: dict[tuple[str, str], set[str]] = {}
    for end in End.values:
        rows = variants.values_list(f"{end}_axle__topology__code", f"{end}_axle__code").distinct()
        for topology, axle in rows:
            if axle is not None:
                axles.setdefault((end, topology), set()).add(axle)
    return {layout: found.pop() for layout, found in axles.items() if len(found) == 1}


@dataclass(frozen=True, slots=True)
class StatableFacts:
    """Values by attribute, sorted; options as (code, title)."""

    values: Mapping[str, tuple[str, ...]]
    options: tuple[tuple[str, str], ...]


def statable_facts(*, maker: str, chassis: str) -> StatableFacts:
    """The values to choose from once maker and chassis are (partly) stated; options only of a stated chassis.

    Makers are all offered, chassis those of the maker: so either can be changed. Three queries at most.
    """
    cars = Variant.objects.all()
    if maker:
        cars = cars.filter(platform__maker__code=maker)
    of_chassis = cars.filter(platform__chassis=chassis) if chassis else cars
    rows = set(of_chassis.values_list(*OF_VARIANT).distinct())
    values = {str(name): tuple(sorted({row[at] for row in rows})) for at, name in enumerate(OF_VARIANT)}
    places = set(Variant.objects.values_list("platform__maker__code", "platform__chassis").distinct())
    values["maker"] = tuple(sorted({place[0] for place in places}))
    values["chassis"] = tuple(sorted({place[1] for place in places if maker in ("", place[0])}))
    options: tuple[tuple[str, str], ...] = ()
    if chassis:
        found = Option.objects.filter(variant_rows__variant__in=of_chassis).distinct().order_by("group", "title")
        options = tuple(found.values_list("code", "title"))
    return StatableFacts(values, options)
