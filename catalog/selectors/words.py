"""What people call makers, platforms, options and parts, for the box that takes a line of text."""

from dataclasses import dataclass

from catalog.models import Maker, Option, Platform


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
