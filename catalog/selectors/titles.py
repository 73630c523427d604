"""What people call things: makers, platforms, options, joints, steps, equipment."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalog.models import Component, Equipment, Location, Maker, Operation, Option, Platform


@dataclass(frozen=True, slots=True)
class Titles:
    """Titles by code; `locations` by (end, code)."""

    makers: Mapping[str, str]
    options: Mapping[str, str]
    components: Mapping[str, str]
    locations: Mapping[tuple[str, str], str]


def catalogue_titles() -> Titles:
    """Four queries."""
    locations = Location.objects.order_by("topology__code").values_list("topology__end", "code", "title")
    return Titles(
        makers=dict(Maker.objects.values_list("code", "title")),
        options=dict(Option.objects.values_list("code", "title")),
        components=dict(Component.objects.values_list("code", "title")),
        locations={(end, code): title for end, code, title in locations},
    )


@dataclass(frozen=True, slots=True)
class SpokenNames:
    """Titles by code; platforms as (chassis, title without the maker's)."""

    makers: tuple[tuple[str, str], ...]
    platforms: tuple[tuple[str, str], ...]
    options: tuple[tuple[str, str], ...]


def spoken_names() -> SpokenNames:
    """Three queries, of the small tables of the catalogue."""
    platforms = Platform.objects.order_by("chassis", "pk").values_list("chassis", "title", "maker__title")
    return SpokenNames(
        makers=tuple(Maker.objects.order_by("code").values_list("code", "title")),
        platforms=tuple((chassis, title.replace(maker, "").strip()) for chassis, title, maker in platforms),
        options=tuple(Option.objects.order_by("code").values_list("code", "title")),
    )


def step_titles(*, keys: Iterable[tuple[str, str]]) -> dict[tuple[str, str], tuple[str, str]]:
    """(axle, operation) -> (title of the axle, title of the step), in one query."""
    wanted = set(keys)
    rows = Operation.objects.filter(axle__code__in={axle for axle, _ in wanted}, code__in={code for _, code in wanted})
    columns = ("axle__code", "code", "axle__title", "title")
    found = {(axle, code): (of or axle, title or code) for axle, code, of, title in rows.values_list(*columns)}
    return {key: found[key] for key in wanted if key in found}


def tool_titles(*, codes: Iterable[str]) -> dict[str, str]:
    """Titles by code (one query)."""
    return dict(Equipment.objects.filter(code__in=list(codes)).values_list("code", "title"))
