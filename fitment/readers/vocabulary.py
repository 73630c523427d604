"""Reads the codes that the catalogue has and what they are called; kept for one edition."""

from django.db.models import Q

from catalog.codes import FOR_SALE_ONCE, OF_VARIANT, End, EquipmentKind
from catalog.models import Component, Equipment, Location, Maker, Option, Part, Platform, Technology, Variant
from catalog.selectors.titles import catalogue_titles
from fitment.domain.description import Vocabulary
from fitment.readers.editions import kept_for_edition
from fitment.text.names import Names


@kept_for_edition(entries=1)
def vocabulary() -> Vocabulary:
    """All codes and values that a question may use (a constant number of queries)."""
    values = {
        "maker": frozenset(Maker.objects.values_list("code", flat=True)),
        "chassis": frozenset(Platform.objects.values_list("chassis", flat=True)),
    }
    rows = list(Variant.objects.values_list("code", *OF_VARIANT))
    values["variant"] = frozenset(row[0] for row in rows)
    for position, name in enumerate(OF_VARIANT, start=1):
        values[name.value] = frozenset(row[position] for row in rows)
    places: dict[str, set[str]] = {end.value: set() for end in End}
    for end, location in Location.objects.values_list("topology__end", "code"):
        places[end].add(location)
    parts = Part.objects.values_list("code", flat=True)
    # A part exists for the public when a revision of it is released (held or not) or withdrawn.
    public = Q(revisions__status__in=FOR_SALE_ONCE)
    return Vocabulary(
        values=values,
        options=frozenset(Option.objects.values_list("code", flat=True)),
        components=frozenset(Component.objects.values_list("code", flat=True)),
        places={end: frozenset(codes) for end, codes in places.items()},
        parts=frozenset(parts),
        public_parts=frozenset(parts.filter(public)),
        technologies=frozenset(Technology.objects.values_list("code", flat=True)),
        tools=frozenset(Equipment.objects.filter(kind__in=("", EquipmentKind.TOOL)).values_list("code", flat=True)),
    )


@kept_for_edition(entries=1)
def names() -> Names:
    titles = catalogue_titles()
    return Names(titles.makers, titles.options, titles.components, titles.locations)
