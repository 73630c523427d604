"""The suspension layouts of axles: which joints there are to draw."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.models import Location, Variant


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
    columns = ("topology__end", "topology__code", "topology__title", "code", "link", "link_end", "title", "role",
               "in_range", "also_called")  # fmt: skip
    return [LocationRow(*row) for row in rows.values_list(*columns)]
