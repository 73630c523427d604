"""Reads the vocabulary of the catalogue; kept for one edition."""

from django.db.models import Q

from catalog.codes import Status
from catalog.models import Component, Equipment, Location, Maker, Option, Part, Platform, Technology, Variant
from fitment.domain.vocabulary import Vocabulary
from fitment.readers.editions import kept_for_edition

# A part exists for the public when a revision of it is released (held or not) or withdrawn.
PUBLIC_STATUSES = (Status.RELEASED, Status.WITHDRAWN)


@kept_for_edition(entries=1)
def vocabulary() -> Vocabulary:
    """All codes and values that a question may use (a constant number of queries)."""
    values = {
        "maker": frozenset(Maker.objects.values_list("code", flat=True)),
        "chassis": frozenset(Platform.objects.values_list("chassis", flat=True)),
    }
    names = ("designation", "body", "engine", "drivetrain", "steering", "market")
    rows = list(Variant.objects.values_list("code", *names))
    values["variant"] = frozenset(row[0] for row in rows)
    for position, name in enumerate(names, start=1):
        values[name] = frozenset(row[position] for row in rows)
    places: dict[str, set[str]] = {"front": set(), "rear": set()}
    for end, location in Location.objects.values_list("topology__end", "code"):
        places[end].add(location)
    parts = Part.objects.values_list("code", flat=True)
    public = Q(revisions__status__in=PUBLIC_STATUSES)
    return Vocabulary(
        values=values,
        options=frozenset(Option.objects.values_list("code", flat=True)),
        components=frozenset(Component.objects.values_list("code", flat=True)),
        places={end: frozenset(codes) for end, codes in places.items()},
        parts=frozenset(parts),
        public_parts=frozenset(parts.filter(public)),
        technologies=frozenset(Technology.objects.values_list("code", flat=True)),
        tools=frozenset(Equipment.objects.filter(kind__in=("", "tool")).values_list("code", flat=True)),
    )
