"""Reads one axle's corner: hardpoints, wheel, cars that have it, stiffness of joints and of their upgrades."""

from collections.abc import Iterable, Mapping

from django.db.models import Q

from catalog.models import Component, Hold, Variant
from catalog.selectors.layouts import axle_of_layout
from catalog.stamps import letter_order
from fitment.engineering.axle_loads import Stiffer
from fitment.engineering.corner import Corner, Line, Spring, SpringKind
from fitment.engineering.loads import CarFigures
from fitment.models import FitDecision, Hardpoint, Verdict, Wheel

FIGURES = ("kerb_mass_kg", "front_mass_share", "wheelbase_mm", "cg_height_mm", "track_mm")


def read_corner(axle: str) -> Corner | None:
    """The left corner of an axle; None without hardpoints or without a wheel (two queries)."""
    wheel = Wheel.objects.filter(axle__code=axle).first()
    rows = list(Hardpoint.objects.filter(axle__code=axle).order_by("link"))
    if wheel is None or not rows:
        return None
    lines = tuple(
        Line(row.link, _point(row, "inner"), _point(row, "outer"), row.inner_location, row.outer_location)
        for row in rows
    )
    spring = Spring(
        SpringKind(wheel.spring_kind), _point(wheel, "spring_top"), _point(wheel, "spring_low"), wheel.spring_link
    )
    mount = wheel.top_mount_n_mm
    return Corner(
        lines, spring, _point(wheel, "contact"), float(wheel.centre_z), None if mount is None else float(mount)
    )


def corners_of_variants(variants: Iterable[str]) -> dict[tuple[str, str], Corner]:
    """By end and topology the corner of the one axle that these variants have there, where its points are recorded."""
    corners = {layout: read_corner(axle) for layout, axle in axle_of_layout(codes=variants).items()}
    return {layout: corner for layout, corner in corners.items() if corner is not None}


def read_car_figures(axle: str) -> dict[str, CarFigures]:
    """The variants with an axle that have all five figures, each above nought where a computation divides by it."""
    rows = Variant.objects.filter(Q(front_axle__code=axle) | Q(rear_axle__code=axle)).order_by("code")
    found = {}
    for code, *figures in rows.values_list("code", *FIGURES):
        known = [float(figure) for figure in figures if figure is not None]
        if len(known) == len(FIGURES) and known[2] > 0 and known[4] > 0:
            found[code] = CarFigures(*known)
    return found


def read_stiffness(components: Mapping[str, str]) -> dict[str, float]:
    """The radial stiffness in N/mm by location, of the component at each (one query)."""
    rows = Component.objects.filter(code__in=components.values(), radial_stiffness_n_mm__gt=0)
    known = {code: float(stiffness) for code, stiffness in rows.values_list("code", "radial_stiffness_n_mm")}
    return {location: known[code] for location, code in components.items() if code in known}


def read_stiffer(components: Mapping[str, str]) -> list[Stiffer]:
    """Visible and prototype revisions with a stiffness and a word for the component at a location (one query)."""
    on_hold = Hold.objects.filter(closed_on=None, batch_from="", batch_to="").values("revision")
    visible = Q(revision__status="released") & ~Q(revision__in=on_hold)
    rows = FitDecision.objects.filter(
        visible | Q(revision__status="prototype"),
        component__code__in=components.values(),
        decision__in=(Verdict.APPROVED, Verdict.PROPOSED),
        revision__radial_stiffness_n_mm__gt=0,
    ).order_by()
    columns = ("component__code", "revision__part__code", "revision__letter", "revision__radial_stiffness_n_mm")
    found = [
        Stiffer(location, part, letter, float(stiffness))
        for component, part, letter, stiffness in rows.values_list(*columns).distinct()
        for location in _locations(component, components)
    ]
    return sorted(found, key=lambda one: (one.location, one.part, letter_order(one.letter)))


def _locations(component: str, components: Mapping[str, str]) -> Iterable[str]:
    return (location for location, code in components.items() if code == component)


def _point(row: Hardpoint | Wheel, name: str) -> tuple[float, float, float]:
    x, y, z = (float(getattr(row, f"{name}_{axis}")) for axis in "xyz")
    return x, y, z
