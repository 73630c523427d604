"""Reads both sides of an interface, and what the places of a component ask, for the match."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from decimal import Decimal
from fractions import Fraction

from django.db.models import Q

from catalog.models import AxleLocation, Component, Hold, Joint, Revision
from catalog.stamps import letter_order
from fitment.domain import interfaces as pieces
from fitment.domain.interfaces import Demand, Place
from fitment.engineering.errors import EngineeringError
from fitment.engineering.known import Sizes, known_sizes, sizes_of
from fitment.engineering.press_fit import Material
from fitment.engineering.sampling import Pool, Sample, merged, pooled
from fitment.engineering.seats import taper_of
from fitment.engineering.tolerances import Interval, limits
from fitment.models import Measurement

MATCHED = ("released", "prototype")

_MATERIAL = ("modulus_mpa", "poisson", "yield_mpa", "expansion_per_k")
_REVISION = (
    "pk", "part__code", "letter", "status", "part__seat", "part__technology__allows_rotation",
    "part__technology__allows_tilt", "outside_min_mm", "outside_max_mm", "outside_class", "body_length_mm",
    "sleeve_min_mm", "sleeve_max_mm", "hole_min_mm", "hole_max_mm", "taper", "taper_large_mm", "centre_offset_mm",
    "housing_bore_mm", "roughness_rz_um", "rotation_deg", "tilt_deg", "part__draw_up_mm", "part__clearance_mm",
    "part__offset_mm", "part__closure_um", "part__blank_outside_min_mm", "part__blank_outside_max_mm",
    "part__blank_sleeve_min_mm", "part__blank_sleeve_max_mm", "part__blank_holes_mm",
    *(f"material__{name}" for name in _MATERIAL),
)  # fmt: skip
_COMPONENT = (
    "code", "process", "bore_min_mm", "bore_max_mm", "bore_class", "seat_length_mm", "clevis_gap_min_mm",
    "clevis_gap_max_mm", "bolt_mm", "taper", "taper_large_mm", "centre_offset_mm", "arm_outside_mm", "roughness_rz_um",
    *(f"arm_material__{name}" for name in _MATERIAL),
)  # fmt: skip

Row = Mapping[str, Decimal | str | None]


def read_component_sizes(codes: Collection[str] | None = None) -> dict[str, Sizes]:
    """Components with every size known of them, by code; all where none are named (two queries)."""
    rows = Component.objects.order_by("code")
    if codes is not None:
        rows = rows.filter(code__in=codes)
    components = list(rows.values(*_COMPONENT))
    processes = {row["process"] for row in components} - {""}
    own, pools = _samples([row["code"] for row in components], processes)
    return {
        row["code"]: sizes_of(
            row["code"],
            known_sizes(_stated(row), own.get(row["code"], {}), pools.get(row["process"], {})),
            _taper(row["taper"]),
            _material(row, "arm_material__"),
            _number(row["roughness_rz_um"]),
            _begun(row, "clevis_gap"),
        )
        for row in components
    }


def read_revisions(parts: Collection[str] | None = None, statuses: Collection[str] = MATCHED) -> list[pieces.Revision]:
    """Revisions of these statuses by part and letter; of all parts where none are named (two queries)."""
    rows = Revision.objects.filter(status__in=statuses)
    if parts is not None:
        rows = rows.filter(part__code__in=parts)
    held = set(Hold.objects.filter(closed_on=None, batch_from="", batch_to="").values_list("revision_id", flat=True))
    found = [_revision(row, held=row["pk"] in held) for row in rows.values(*_REVISION)]
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
        place = Place(axle, location)
        found[component].append(asked.get(place) or Demand(place))
    return dict(found)


def read_place_demands(axles: Collection[str] | None = None) -> dict[Place, Demand]:
    """What the recorded places of axles ask; of all axles where none are named (one query)."""
    rows = AxleLocation.objects.all()
    if axles is not None:
        rows = rows.filter(axle__code__in=axles)
    columns = ("axle__code", "location__code", "rotation_deg", "tilt_deg", "static_tilt_deg", "retention_n")
    return {
        (place := Place(axle, location)): Demand(place, *map(_number, figures))
        for axle, location, *figures in rows.values_list(*columns)
    }


Samples = dict[str, dict[str, Sample]]
Pools = dict[str, dict[str, Pool]]


def _samples(components: Collection[str], processes: Collection[str]) -> tuple[Samples, Pools]:
    """Merged samples by component and feature, and pooled spreads by process and feature (one query)."""
    wanted = Q(component__code__in=components) | Q(component__process__in=processes)
    columns = (
        "component__process", "component__code", "feature", "mean_mm", "samples", "spread_mm", "uncertainty_mm",
    )  # fmt: skip
    rows = Measurement.objects.filter(wanted).order_by("measured_on").values_list(*columns)
    sessions: dict[tuple[str, str, str], list[Sample]] = defaultdict(list)
    for process, component, feature, mean, pieces_, spread, uncertainty in rows:
        sample = Sample(float(mean), pieces_, _number(spread), float(uncertainty))
        sessions[process, component, feature].append(sample)
    own: Samples = defaultdict(dict)
    of_process: dict[tuple[str, str], list[Sample]] = defaultdict(list)
    for (process, component, feature), several in sessions.items():
        own[component][feature] = merged(several)
        if process:
            of_process[process, feature].append(own[component][feature])
    pools: Pools = defaultdict(dict)
    for (process, feature), samples in of_process.items():
        pool = pooled(samples)
        if pool is not None:
            pools[process][feature] = pool
    return own, pools


def _stated(row: Row) -> dict[str, Interval]:
    stated = {"bore": _limits(row, "bore") or _of_class(row["bore_class"]), "clevis_gap": _limits(row, "clevis_gap")}
    for feature in ("seat_length", "bolt", "taper_large", "centre_offset", "arm_outside"):
        figure = _number(row[f"{feature}_mm"])
        stated[feature] = None if figure is None else Interval(figure, figure)
    return {feature: interval for feature, interval in stated.items() if interval is not None}


def _revision(row: Row, *, held: bool) -> pieces.Revision:
    def figure(name: str) -> float | None:
        return _number(row[name])

    holes: list[Decimal] = row["part__blank_holes_mm"] or []  # type: ignore[assignment]
    return pieces.Revision(
        part=str(row["part__code"]),
        letter=str(row["letter"]),
        status=str(row["status"]),
        seat=str(row["part__seat"]),
        allows_rotation=bool(row["part__technology__allows_rotation"]),
        allows_tilt=bool(row["part__technology__allows_tilt"]),
        outside=_limits(row, "outside") or _of_class(row["outside_class"]),
        body_length_mm=figure("body_length_mm"),
        sleeve=_limits(row, "sleeve"),
        hole=_limits(row, "hole"),
        taper=_taper(row["taper"]),
        taper_large_mm=figure("taper_large_mm"),
        centre_offset_mm=figure("centre_offset_mm"),
        housing_bore_mm=figure("housing_bore_mm"),
        material=_material(row, "material__"),
        roughness_um=figure("roughness_rz_um"),
        rotation_deg=figure("rotation_deg"),
        tilt_deg=figure("tilt_deg"),
        draw_up_mm=figure("part__draw_up_mm"),
        clearance_mm=figure("part__clearance_mm"),
        offset_mm=figure("part__offset_mm"),
        closure_um=figure("part__closure_um"),
        blank=pieces.Blank(
            _limits(row, "part__blank_outside"),
            _limits(row, "part__blank_sleeve"),
            tuple(float(hole) for hole in holes),
        ),
        held=held,
        recorded=_begun(row, "sleeve", "hole"),
    )


def _limits(row: Row, name: str) -> Interval | None:
    low, high = _number(row[f"{name}_min_mm"]), _number(row[f"{name}_max_mm"])
    return None if low is None or high is None else Interval(low, high)


def _begun(row: Row, *names: str) -> frozenset[str]:
    """Sizes of which at least one limit is recorded."""
    return frozenset(name for name in names if any(row[f"{name}_{end}_mm"] is not None for end in ("min", "max")))


def _of_class(written: Decimal | str | None) -> Interval | None:
    """Limits of an ISO class; one that the standard does not have says nothing."""
    try:
        return limits(str(written)) if written else None
    except EngineeringError:
        return None


def _taper(written: Decimal | str | None) -> Fraction | None:
    try:
        return taper_of(str(written)) if written else None
    except EngineeringError:
        return None


def _material(row: Row, prefix: str) -> Material | None:
    if not row[f"{prefix}modulus_mpa"]:
        return None  # none named, or one that gives way to anything: not known, as a size that cannot be
    modulus, poisson, yield_, expansion = (float(row[prefix + name] or 0) for name in _MATERIAL)
    return Material(modulus, poisson, yield_, expansion)


def _number(value: Decimal | str | None) -> float | None:
    return None if value is None else float(value)
