"""Reads the released parts approved at the other joints of a component's links."""

from collections import defaultdict
from collections.abc import Collection

from django.db.models import Q

from catalog.codes import Decision
from catalog.models import Axle, Hold, Joint, Location
from fitment.domain.interfaces import Place
from fitment.engineering.arm import Neighbour
from fitment.models import FitDecision


def read_neighbours(places: Collection[Place]) -> list[Neighbour]:
    """Parts with a visible revision approved for a component at another joint of the links here (four queries)."""
    links = _links({place.axle for place in places})
    others: dict[Place, tuple[bool, int]] = {}
    for place in places:
        _, end, along = links[place]
        for other in along:
            if other != place:
                coaxial = links[other][1] == end
                # Seen from several places of one component, the worst counts: not on one axis.
                others[other] = (coaxial and others.get(other, (True, 0))[0], len(along))
    components: dict[str, set[Place]] = defaultdict(set)
    for component, place in _joints(others):
        components[component].add(place)
    return [
        Neighbour(place, part, *others[place], rotation, tilt)
        for component, part, rotation, tilt in _approved(components)
        for place in sorted(components[component])
    ]


def _links(axles: Collection[str]) -> dict[Place, tuple[str, str, list[Place]]]:
    """The link of every place, the end of it, and all places on that link."""
    topologies = dict(Axle.objects.filter(code__in=axles).values_list("code", "topology_id"))
    rows = list(
        Location.objects.filter(topology__in=set(topologies.values())).values_list(
            "topology_id", "code", "link", "link_end"
        )
    )
    found: dict[Place, tuple[str, str, list[Place]]] = {}
    for axle, topology in topologies.items():
        on_link: dict[str, list[Place]] = defaultdict(list)
        for of, location, link, _ in rows:
            if of == topology:
                on_link[link].append(Place(axle, location))
        for of, location, link, end in rows:
            if of == topology:
                found[Place(axle, location)] = (link, end, on_link[link])
    return found


def _joints(places: Collection[Place]) -> set[tuple[str, Place]]:
    wanted = Q(pk__in=())
    for place in places:
        wanted |= Q(axle__code=place.axle, location__code=place.location)
    rows = Joint.objects.filter(wanted).order_by()
    return {
        (component, Place(axle, location))
        for component, axle, location in rows.values_list("component__code", "axle__code", "location__code")
    }


def _approved(components: Collection[str]) -> list[tuple[str, str, bool, bool]]:
    on_hold = Hold.objects.filter(closed_on=None, batch_from="", batch_to="")
    rows = (
        FitDecision.objects.filter(
            component__code__in=components, decision=Decision.APPROVED, revision__status="released"
        )
        .exclude(revision__in=on_hold.values("revision"))
        .order_by("component__code", "revision__part__code")
    )
    technology = "revision__part__technology__"
    columns = ("component__code", "revision__part__code", f"{technology}allows_rotation", f"{technology}allows_tilt")
    return list(rows.values_list(*columns).distinct())
