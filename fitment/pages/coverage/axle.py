"""`/axle/CODE/`: the corner from its hardpoints, what its joints carry, and each upgrade before and after."""

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Role
from catalog.models import Axle, Location
from fitment.drawing.hardpoints import views
from fitment.engineering.axle_loads import CornerLoads
from fitment.engineering.compliance import Deflection
from fitment.engineering.corner import TOP_MOUNT, JointName
from fitment.pages.coverage.matrix import cell_address
from fitment.pages.shared.page import page
from fitment.services.coverage.loads import AxleLoads, axle_loads

REASONS = {
    "no_hardpoints": (
        "No hardpoints are recorded.",
        "Record them in the sheets hardpoints and wheels of the workbook.",
    ),
    "not_modelled": (
        "This kind of axle is not modelled.",
        "Computed are struts with three lines and five lines without a strut; twist beams, live axles and semi-trailing"
        " arms are not held by two-force links.",
    ),
    "singular": (
        "These hardpoints hold no wheel.",
        "No single set of forces holds this corner: look for a mistyped point.",
    ),
}
Places = dict[str, tuple[str, bool]]
CASES = {"standing": "Standing", "braking": "Braking 1 g", "cornering": "Cornering 1 g, outer wheel"}


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint in words; with its component, the way to its coverage."""

    title: str
    component: str = ""
    href: str = ""


@page(role=Role.DEVELOPMENT)
def axle(request: HttpRequest, code: str) -> HttpResponse:
    row = Axle.objects.select_related("topology").filter(code=code).first()
    if row is None:
        raise Http404
    variant = request.GET.get("variant") or None
    found = axle_loads(axle=code, variant=variant)
    context: dict[str, Any] = {
        "axle": row,
        "found": found,
        "reason": REASONS.get(found.reason or "") if found else None,
        "views": views(found.corner) if found and found.corner else (),
        "not_known": variant if variant and found and found.loads and found.variant != variant else "",
        "title_rows": [{"label": "Axle", "value": code}],
    }
    if found is not None and found.loads is not None:
        context |= _figures(found, found.loads, _places(row))
    return render(request, "coverage/axle.html", context)


def _figures(found: AxleLoads, loads: CornerLoads, places: Places) -> dict[str, Any]:
    joints = {name: _joint(name, found, places) for name, _ in loads.cases[0].reactions.joints} if loads.cases else {}
    return {
        "cases": [
            (CASES[case.case], tuple(_kn(part) for part in case.contact), _kn(case.reactions.spring_n))
            for case in loads.cases
        ],
        "case_names": [CASES[case.case] for case in loads.cases],
        "joints": [
            (joint, [_kn(sum(part**2 for part in dict(case.reactions.joints)[name]) ** 0.5) for case in loads.cases])
            for name, joint in joints.items()
        ],
        "deflection": _deflection(loads.compliance.deflection),
        "shares": [
            (
                _joint(share.joint, found, places),
                f"{share.force_per_force:.2f}",
                "" if share.stiffness_n_mm is None else f"{share.stiffness_n_mm / 1000:.1f}",
                f"{share.share:.0%}",
            )
            for share in sorted(loads.compliance.joints, key=lambda one: -one.share)
        ],
        "rigid": [_joint(name, found, places) for name in loads.compliance.rigid],
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
        "travel": loads.articulation.travel_mm,
        "travel_from": f"{loads.articulation.travel_mm[0]:.0f}".replace("-", "\u2212"),
        "articulation": [
            (
                _joint(one.joint, found, places),
                _span(one.rotation.minimum, one.rotation.maximum),
                _span(one.tilt.minimum, one.tilt.maximum),
            )
            for one in loads.articulation.joints
        ],
    }


def _joint(name: JointName, found: AxleLoads, places: Places) -> Joint:
    if name == TOP_MOUNT:
        return Joint("top mount")
    if not name.location:
        return Joint(f"{name.link.replace('_', ' ')}, {name.end} end")
    component = found.components.get(name.location, "")
    title, in_range = places[name.location]
    return Joint(title, component, cell_address(found.axle, name.location, component) if component and in_range else "")


def _places(axle: Axle) -> Places:
    """Title of each location of the axle's topology, and whether our range covers it (one query)."""
    rows = Location.objects.filter(topology=axle.topology)
    return {code: (title or code, in_range) for code, title, in_range in rows.values_list("code", "title", "in_range")}


def _deflection(one: Deflection) -> list[str]:
    figures = (
        (one.contact_mm_per_kn, 3), (one.recession_mm_per_kn, 3), (one.castor_deg_per_g, 3), (one.toe_deg_per_g, 3),
    )  # fmt: skip
    return ["" if value is None else f"{value:+.{places}f}".replace("-", "\u2212") for value, places in figures]


def _kn(force_n: float) -> str:
    return f"{force_n / 1000:.2f}".replace("-", "\u2212")


def _span(least: float, greatest: float) -> str:
    return f"{least:+.1f} to {greatest:+.1f}".replace("-", "\u2212")
