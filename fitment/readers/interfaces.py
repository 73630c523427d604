"""Reads both sides of an interface, what the places of a component ask, and its neighbours, for the match."""

from collections import defaultdict
from collections.abc import Callable, Collection
from decimal import Decimal
from typing import TypeVar

from django.db.models import Q, QuerySet

from catalog.codes import MATCHED, Decision, Measurable, Status
from catalog.models import Axle, AxleLocation, Component, Hold, Joint, Material, Part, Revision
from catalog.stamps import letter_order
from fitment.domain.interfaces import AxlePlace, Blank, Demand, RevisionInterface
from fitment.engineering.errors import EngineeringError
from fitment.engineering.known import ComponentSizes, component_sizes
from fitment.engineering.matching import Matching, Neighbour
from fitment.engineering.press_fit import MaterialProperties
from fitment.engineering.sampling import PooledSpread, Sample, merge_samples, pool_spread
from fitment.engineering.tolerances import Interval, limits, taper_of
from fitment.models import FitDecision, Measurement

T = TypeVar("T")

BySize = dict[str, dict[str, T]]
"""By code of a component, or by process, and by feature."""


def holds_on_whole_revisions() -> QuerySet[Hold]:
    """Open holds that are not of some batches alone: their revisions are not visible."""
    return Hold.objects.filter(closed_on=None, batch_from="", batch_to="")


def read_matching(
    components: Collection[str] | None, parts: Collection[str] | None, axles: Collection[str] | None
) -> Matching:
    """The matches of these parts with these components at places of these axles; None: all (five queries)."""
    return Matching(
        components={code: sizes.component for code, sizes in read_component_sizes(components).items()},
        revisions={(one.part, one.letter): one for one in read_revisions(parts)},
        demands=read_place_demands(axles),
    )


def read_component_sizes(codes: Collection[str] | None = None) -> dict[str, ComponentSizes]:
    """Components with every size known of them, by code; all where none are named (two queries)."""
    rows = Component.objects.order_by("code")
    if codes is not None:
        rows = rows.filter(code__in=codes)
    components = list(rows.select_related("arm_material"))
    own, pools = _samples([row.code for row in components], {row.process for row in components} - {""})
    return {
        row.code: component_sizes(
            row.code,
            {feature: size for feature in Measurable if (size := _size(row, feature)) is not None},
            own.get(row.code, {}),
            pools.get(row.process, {}),
            taper=_parsed(taper_of, row.taper),
            arm_material=_properties(row.arm_material),
            roughness_um=_number(row.roughness_rz_um),
            begun=_begun(row, "clevis_gap"),
        )
        for row in components
    }


def read_revisions(
    parts: Collection[str] | None = None, statuses: Collection[str] = MATCHED
) -> list[RevisionInterface]:
    """Revisions of these statuses by part and letter; of all parts where none are named (two queries)."""
    rows = Revision.objects.filter(status__in=statuses)
    if parts is not None:
        rows = rows.filter(part__code__in=parts)
    held = set(holds_on_whole_revisions().values_list("revision_id", flat=True))
    rows = rows.select_related("part__technology", "material")
    found = [_revision(row, held=row.pk in held) for row in rows]
    return sorted(found, key=lambda one: (one.part, letter_order(one.letter)))


def read_demands(components: Collection[str] | None = None) -> dict[str, list[Demand]]:
    """What each place of a component asks, by component (two queries)."""
    joints = Joint.objects.all()
    if components is not None:
        joints = joints.filter(component__code__in=components)
    places = set(joints.order_by().values_list("component__code", "axle__code", "location__code"))
    asked = read_place_demands({axle for _, axle, _ in places})
    found: dict[str, list[Demand]] = defaultdict(list)
    for component, axle, location in sorted(places):
        place = AxlePlace(axle, location)
        found[component].append(asked.get(place) or Demand(place))
    return dict(found)


def read_place_demands(axles: Collection[str] | None = None) -> dict[AxlePlace, Demand]:
    """What the recorded places of axles ask; of all axles where none are named (one query)."""
    rows = AxleLocation.objects.all()
    if axles is not None:
        rows = rows.filter(axle__code__in=axles)
    columns = ("axle__code", "location__code", "rotation_deg", "tilt_deg", "static_tilt_deg", "retention_n")
    return {
        (place := AxlePlace(axle, location)): Demand(place, *map(_number, figures))
        for axle, location, *figures in rows.values_list(*columns)
    }


def read_neighbours(places: Collection[AxlePlace]) -> list[Neighbour]:
    """Parts with a visible revision approved for a component at another joint of the links here (two queries)."""
    links = _links({place.axle for place in places})
    others: dict[AxlePlace, tuple[bool, int]] = {}
    for place in places:
        _, end, along = links[place]
        for other in along:
            if other != place:
                coaxial = links[other][1] == end
                # Seen from several places of one component, the worst counts: not on one axis.
                others[other] = (coaxial and others.get(other, (True, 0))[0], len(along))
    at_others = Q(pk__in=())
    for place in others:
        at_others |= Q(component__joints__axle__code=place.axle, component__joints__location__code=place.location)
    approved = FitDecision.objects.filter(at_others, decision=Decision.APPROVED, revision__status=Status.RELEASED)
    visible = approved.exclude(revision__in=holds_on_whole_revisions().values("revision")).order_by()
    technology = "revision__part__technology__"
    columns = (
        *("component__joints__axle__code", "component__joints__location__code", "revision__part__code"),
        *(f"{technology}allows_rotation", f"{technology}allows_tilt"),
    )
    return [
        Neighbour(place := AxlePlace(axle, location), part, *others[place], rotation, tilt)
        for axle, location, part, rotation, tilt in visible.values_list(*columns).distinct()
    ]


def _samples(components: Collection[str], processes: Collection[str]) -> tuple[BySize[Sample], BySize[PooledSpread]]:
    """Merged samples by component and feature, and pooled spreads by process and feature (one query)."""
    wanted = Q(component__code__in=components) | Q(component__process__in=processes)
    rows = (
        Measurement.objects.filter(wanted)
        .order_by("measured_on")
        .values_list(
            "component__process", "component__code", "feature", "mean_mm", "samples", "spread_mm", "uncertainty_mm"
        )
    )
    sessions: dict[tuple[str, str, str], list[Sample]] = defaultdict(list)
    for process, component, feature, mean, pieces, spread, uncertainty in rows:
        sample = Sample(float(mean), pieces, _number(spread), float(uncertainty))
        sessions[process, component, feature].append(sample)
    own: BySize[Sample] = defaultdict(dict)
    of_process: dict[tuple[str, str], list[Sample]] = defaultdict(list)
    for (process, component, feature), several in sessions.items():
        own[component][feature] = merge_samples(several)
        if process:
            of_process[process, feature].append(own[component][feature])
    pools: BySize[PooledSpread] = defaultdict(dict)
    for (process, feature), samples in of_process.items():
        pool = pool_spread(samples)
        if pool is not None:
            pools[process][feature] = pool
    return own, pools


def _revision(row: Revision, *, held: bool) -> RevisionInterface:
    part = row.part
    return RevisionInterface(
        part=part.code,
        letter=row.letter,
        status=row.status,
        seat=part.seat,
        allows_rotation=part.technology.allows_rotation,
        allows_tilt=part.technology.allows_tilt,
        outside=_size(row, "outside"),
        body_length_mm=_number(row.body_length_mm),
        sleeve=_size(row, "sleeve"),
        hole=_size(row, "hole"),
        taper=_parsed(taper_of, row.taper),
        taper_large_mm=_number(row.taper_large_mm),
        centre_offset_mm=_number(row.centre_offset_mm),
        housing_bore_mm=_number(row.housing_bore_mm),
        material=_properties(row.material),
        roughness_um=_number(row.roughness_rz_um),
        rotation_deg=_number(row.rotation_deg),
        tilt_deg=_number(row.tilt_deg),
        draw_up_mm=_number(part.draw_up_mm),
        clearance_mm=_number(part.clearance_mm),
        offset_mm=_number(part.offset_mm),
        closure_um=_number(part.closure_um),
        blank=Blank(
            _size(part, "blank_outside"),
            _size(part, "blank_sleeve"),
            tuple(float(hole) for hole in part.blank_holes_mm or ()),
        ),
        held=held,
        recorded=_begun(row, "sleeve", "hole"),
    )


def _size(row: Component | Revision | Part, name: str) -> Interval | None:
    """A size of either side: both limits, else its ISO class, else its single figure."""
    low, high = (_number(getattr(row, f"{name}_{end}_mm", None)) for end in ("min", "max"))
    if low is not None and high is not None:
        return Interval(low, high)
    single = _number(getattr(row, f"{name}_mm", None))
    return _parsed(limits, getattr(row, f"{name}_class", "")) if single is None else Interval(single, single)


def _begun(row: Component | Revision, *names: str) -> frozenset[str]:
    """Sizes of which at least one limit is recorded."""
    return frozenset(
        name for name in names if any(getattr(row, f"{name}_{end}_mm") is not None for end in ("min", "max"))
    )


def _parsed(parse: Callable[[str], T], written: str) -> T | None:
    """A class or a taper; one that there is not says nothing."""
    try:
        return parse(written) if written else None
    except EngineeringError:
        return None


def _properties(material: Material | None) -> MaterialProperties | None:
    if material is None or not material.modulus_mpa:
        return None  # none named, or one that gives way to anything: not known, as a size that cannot be
    figures = (material.modulus_mpa, material.poisson, material.yield_mpa, material.expansion_per_k)
    return MaterialProperties(*(float(figure or 0) for figure in figures))


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _links(axles: Collection[str]) -> dict[AxlePlace, tuple[str, str, list[AxlePlace]]]:
    """The link of every place, the end of it, and all places on that link."""
    columns = ("code", *(f"topology__locations__{name}" for name in ("code", "link", "link_end")))
    found: dict[AxlePlace, tuple[str, str, list[AxlePlace]]] = {}
    on_link: dict[tuple[str, str], list[AxlePlace]] = defaultdict(list)
    rows = Axle.objects.filter(code__in=axles, topology__locations__isnull=False)
    for axle, location, link, end in rows.values_list(*columns):
        place = AxlePlace(axle, location)
        on_link[axle, link].append(place)
        found[place] = (link, end, on_link[axle, link])
    return found
