"""Reads the corners of axles: hardpoints, wheel, cars that have it, stiffness of joints and of their upgrades."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Q

from catalog.codes import Decision, SpringKind, Status
from catalog.models import Axle, Component, Location, Variant
from catalog.selectors.cars import axle_of_layout
from catalog.stamps import letter_order
from fitment.engineering.axle_loads import CarFigures, StifferRevision
from fitment.engineering.corner import Corner, LinkLine, Spring
from fitment.models import FitDecision, Hardpoint, Wheel
from fitment.readers.interfaces import holds_on_whole_revisions

FIGURES = ("kerb_mass_kg", "front_mass_share", "wheelbase_mm", "cg_height_mm", "track_mm")


@dataclass(frozen=True, slots=True)
class AxleThere:
    """An axle, and its corner where hardpoints are recorded."""

    code: str
    corner: Corner | None


@dataclass(frozen=True, slots=True)
class AxleTitles:
    """An axle's title, and for each location of its topology the title and whether our range covers it."""

    code: str
    title: str
    locations: dict[str, tuple[str, bool]]


def read_axle_titles(axle: str) -> AxleTitles | None:
    """None where there is no axle of that code (two queries)."""
    row = Axle.objects.select_related("topology").filter(code=axle).first()
    if row is None:
        return None
    rows = Location.objects.filter(topology=row.topology).values_list("code", "title", "in_range")
    locations = {code: (title or code, in_range) for code, title, in_range in rows}
    return AxleTitles(axle, row.title or row.topology.title, locations)


def read_corners(axles: Collection[str]) -> dict[str, Corner]:
    """The left corners of those of these axles that have hardpoints and a wheel (two queries)."""
    wheels = {wheel.axle.code: wheel for wheel in Wheel.objects.filter(axle__code__in=axles).select_related("axle")}
    points: dict[str, list[Hardpoint]] = defaultdict(list)
    for row in Hardpoint.objects.filter(axle__code__in=axles).select_related("axle").order_by("link"):
        points[row.axle.code].append(row)
    return {code: _corner(wheel, points[code]) for code, wheel in wheels.items() if code in points}


def _corner(wheel: Wheel, rows: list[Hardpoint]) -> Corner:
    lines = tuple(
        LinkLine(row.link, _point(row, "inner"), _point(row, "outer"), row.inner_location, row.outer_location)
        for row in rows
    )
    spring = Spring(
        SpringKind(wheel.spring_kind), _point(wheel, "spring_top"), _point(wheel, "spring_low"), wheel.spring_link
    )
    mount = wheel.top_mount_n_mm
    return Corner(
        lines, spring, _point(wheel, "contact"), float(wheel.centre_z), None if mount is None else float(mount)
    )


def axles_by_layout(variants: Iterable[str]) -> dict[tuple[str, str], AxleThere]:
    """By end and topology the one axle that all of these variants with that topology have there (four queries)."""
    codes = axle_of_layout(codes=variants)
    corners = read_corners(codes.values())
    return {layout: AxleThere(code, corners.get(code)) for layout, code in codes.items()}


def read_car_figures(axles: Collection[str]) -> dict[str, dict[str, CarFigures]]:
    """By axle the variants that have all five figures, each above zero where a computation divides by it."""
    rows = Variant.objects.filter(Q(front_axle__code__in=axles) | Q(rear_axle__code__in=axles)).order_by("code")
    found: dict[str, dict[str, CarFigures]] = defaultdict(dict)
    for code, front, rear, *figures in rows.values_list("code", "front_axle__code", "rear_axle__code", *FIGURES):
        known = [float(figure) for figure in figures if figure is not None]
        if len(known) == len(FIGURES) and known[2] > 0 and known[4] > 0:
            for axle in {front, rear}.intersection(axles):
                found[axle][code] = CarFigures(*known)
    return found


def read_stiffness(components: Mapping[str, str]) -> dict[str, float]:
    """The radial stiffness in N/mm by location, of the component at each (one query)."""
    rows = Component.objects.filter(code__in=components.values(), radial_stiffness_n_mm__gt=0)
    known = {code: float(stiffness) for code, stiffness in rows.values_list("code", "radial_stiffness_n_mm")}
    return {location: known[code] for location, code in components.items() if code in known}


def read_stiffer(components: Mapping[str, str]) -> list[StifferRevision]:
    """Visible and prototype revisions with a stiffness and a word for the component at a location (one query)."""
    visible = Q(revision__status=Status.RELEASED) & ~Q(revision__in=holds_on_whole_revisions().values("revision"))
    rows = FitDecision.objects.filter(
        visible | Q(revision__status=Status.PROTOTYPE),
        component__code__in=components.values(),
        decision__in=(Decision.APPROVED, Decision.PROPOSED),
        revision__radial_stiffness_n_mm__gt=0,
    ).order_by()
    columns = ("component__code", "revision__part__code", "revision__letter", "revision__radial_stiffness_n_mm")
    found = [
        StifferRevision(location, part, letter, float(stiffness))
        for component, part, letter, stiffness in rows.values_list(*columns).distinct()
        for location in _locations(component, components)
    ]
    return sorted(found, key=lambda one: (one.location, one.part, letter_order(one.letter)))


def _locations(component: str, components: Mapping[str, str]) -> Iterable[str]:
    return (location for location, code in components.items() if code == component)


def _point(row: Hardpoint | Wheel, name: str) -> tuple[float, float, float]:
    x, y, z = (float(getattr(row, f"{name}_{axis}")) for axis in "xyz")
    return x, y, z
