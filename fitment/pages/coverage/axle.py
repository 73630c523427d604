"""`/axle/CODE/`: the corner from its hardpoints, what its joints carry, and each upgrade before and after."""

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Role
from fitment.coverage.counting import CellKey
from fitment.drawing.hardpoints import views
from fitment.engineering.articulation import AngleRange
from fitment.engineering.axle_loads import CornerLoads
from fitment.engineering.compliance import Deflection
from fitment.engineering.corner import TOP_MOUNT, JointName
from fitment.pages.coverage.lists import cell_address
from fitment.pages.shared.page import page
from fitment.readers.corners import read_axle_titles
from fitment.services.coverage.engineering import AxleLoads, axle_loads
from fitment.text.engineering import NO_CORNER, number


@dataclass(frozen=True, slots=True)
class NamedJoint:
    """A joint in words; with its component, the way to its coverage."""

    title: str
    component: str = ""
    href: str = ""


@page(role=Role.DEVELOPMENT)
def axle(request: HttpRequest, code: str) -> HttpResponse:
    variant = request.GET.get("variant") or None
    titles, found = read_axle_titles(code), axle_loads(axle=code, variant=variant)
    if titles is None or found is None:
        raise Http404
    context: dict[str, Any] = {
        "axle": titles,
        "found": found,
        "reason": None if found.reason is None else NO_CORNER[found.reason],
        "views": views(found.corner) if found.corner else (),
        "not_known": variant if variant and found.loads and found.variant != variant else "",
        "title_rows": [{"label": "Axle", "value": code}],
    }
    if found.loads is not None:
        context |= _figures(found, found.loads, titles.locations)
    return render(request, "coverage/axle.html", context)


Places = dict[str, tuple[str, bool]]
"""Title of each location, and whether our range covers it."""


def _figures(found: AxleLoads, loads: CornerLoads, places: Places) -> dict[str, Any]:
    cases = loads.cases
    names = [name for name, _ in cases[0].reactions.joints] if cases else []
    travel = loads.articulation.travel_mm

    def joint(name: JointName) -> NamedJoint:
        return _joint(name, found, places)

    return {
        "cases": [(one.case.word, [_kn(part) for part in one.contact], _kn(one.reactions.spring_n)) for one in cases],
        "case_names": [one.case.word for one in cases],
        "joints": [(joint(name), [_kn(one.reactions.force_n(name)) for one in cases]) for name in names],
        "deflection": _deflection(loads.compliance.deflection),
        "shares": [
            (
                joint(share.joint),
                f"{share.force_per_force:.2f}",
                "" if share.stiffness_n_mm is None else f"{share.stiffness_n_mm / 1000:.1f}",
                f"{share.share:.0%}",
            )
            for share in sorted(loads.compliance.joints, key=lambda one: -one.share)
        ],
        "rigid": [joint(name) for name in loads.compliance.rigid],
        "upgrades": [
            (
                one.stiffer,
                places[one.stiffer.location][0],
                f"{one.stiffer.stiffness_n_mm / 1000:.1f}",
                f"{one.saves_mm_per_kn:.3f}",
                _deflection(one.deflection),
            )
            for one in sorted(loads.upgrades, key=lambda one: -one.saves_mm_per_kn)
        ],
        "travel": [number(travel[0], ".0f"), number(travel[1], ".0f")],
        "articulation": [(joint(one.joint), _span(one.rotation), _span(one.tilt)) for one in loads.articulation.joints],
    }


def _joint(name: JointName, found: AxleLoads, places: Places) -> NamedJoint:
    if name == TOP_MOUNT:
        return NamedJoint("top mount")
    if not name.location:
        return NamedJoint(f"{name.link.replace('_', ' ')}, {name.end} end")
    component = found.components.get(name.location, "")
    title, in_range = places[name.location]
    address = cell_address(CellKey(found.axle, name.location, component)) if component and in_range else ""
    return NamedJoint(title, component, address)


def _deflection(one: Deflection) -> list[str]:
    figures = (one.contact_mm_per_kn, one.recession_mm_per_kn, one.castor_deg_per_g, one.toe_deg_per_g)
    return ["" if value is None else number(value, "+.3f") for value in figures]


def _kn(force_n: float) -> str:
    return number(force_n / 1000, ".2f")


def _span(angles: AngleRange) -> str:
    return f"{number(angles.minimum, '+.1f')} to {number(angles.maximum, '+.1f')}"
