"""The suspension layouts of axles: which joints there are to draw."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.codes import End
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
