"""`axles/{axle}/loads/` as JSON; forces in N, deflections in mm/kN, angles in degrees."""

from collections.abc import Iterable, Mapping
from typing import Any

from api.shapes import CATALOGUE, NUMBER, TEXT, Schema, by_name, listed, maybe, one_of, pair, shape
from catalog.codes import LoadCase
from fitment.engineering.articulation import AngleRange, Articulation
from fitment.engineering.axle_loads import CaseLoads, JointUpgrade
from fitment.engineering.compliance import Compliance, Deflection, JointShare
from fitment.engineering.corner import JointName
from fitment.services.coverage.loads import AxleLoads

REASONS = ("no_hardpoints", "not_modelled", "singular")
VECTOR: Schema = {"type": "array", "items": NUMBER, "minItems": 3, "maxItems": 3}
JOINT = {"link": TEXT, "end": one_of("inner", "outer"), "location": TEXT}
DEFLECTION = {
    "contact_mm_per_kn": NUMBER,
    "recession_mm_per_kn": NUMBER,
    "castor_deg_per_g": maybe(NUMBER),
    "toe_deg_per_g": maybe(NUMBER),
}
CASE = shape(
    case=one_of(*LoadCase), contact_force_n=VECTOR, links=listed(shape(link=TEXT, force_n=NUMBER)), spring_n=NUMBER,
    joints=listed(shape(**JOINT, force_n=NUMBER)), top_mount_n=maybe(VECTOR),
)  # fmt: skip
COMPLIANCE = shape(
    **DEFLECTION,
    rigid=listed(TEXT),
    joints=listed(shape(**JOINT, force_per_force=NUMBER, stiffness_n_mm=maybe(NUMBER), share=NUMBER)),
)
UPGRADE = shape(
    location=TEXT, part=TEXT, revision=TEXT, stiffness_n_mm=NUMBER, saves_mm_per_kn=NUMBER, **DEFLECTION
)  # fmt: skip
HEAD = {"catalogue": CATALOGUE, "axle": TEXT}
MODELLED = shape(
    **HEAD,
    modelled={"const": True},
    reason={"type": "null"},
    variant=maybe(TEXT),
    components=by_name(TEXT),
    cases=listed(CASE),
    compliance=COMPLIANCE,
    upgrades=listed(UPGRADE),
    travel_mm=pair(NUMBER),
    articulation=listed(shape(**JOINT, rotation_deg=pair(NUMBER), tilt_deg=pair(NUMBER))),
)
NOT_MODELLED = shape(**HEAD, modelled={"const": False}, reason=one_of(*REASONS))
LOADS: Schema = {"oneOf": [MODELLED, NOT_MODELLED]}


def loads_body(found: AxleLoads) -> Mapping[str, Any]:
    """The loads of an axle, without `catalogue`; not modelled: nothing below `reason`."""
    if found.loads is None:
        return {"axle": found.axle, "modelled": False, "reason": found.reason}
    loads = found.loads
    return {
        "axle": found.axle,
        "modelled": True,
        "reason": None,
        "variant": found.variant,
        "components": dict(found.components),
        "cases": [_case(case) for case in loads.cases],
        "compliance": _compliance(loads.compliance),
        "upgrades": [_upgrade(upgrade) for upgrade in loads.upgrades],
        "travel_mm": list(loads.articulation.travel_mm),
        "articulation": list(_articulation(loads.articulation)),
    }


def _joint(name: JointName) -> dict[str, str]:
    return {"link": name.link, "end": name.end, "location": name.location}


def _case(case: CaseLoads) -> dict[str, Any]:
    held = case.reactions
    return {
        "case": case.case,
        "contact_force_n": list(case.contact),
        "links": [{"link": link, "force_n": force} for link, force in held.lines],
        "spring_n": held.spring_n,
        "joints": [{**_joint(name), "force_n": _length(force)} for name, force in held.joints],
        "top_mount_n": None if held.top_mount is None else [float(part) for part in held.top_mount],
    }


def _length(force: Iterable[float]) -> float:
    return float(sum(part**2 for part in force) ** 0.5)


def _deflection(deflection: Deflection) -> dict[str, Any]:
    return {name: getattr(deflection, name) for name in DEFLECTION}


def _compliance(compliance: Compliance) -> dict[str, Any]:
    return {
        **_deflection(compliance.deflection),
        "rigid": [name.location or f"{name.link}.{name.end}" for name in compliance.rigid],
        "joints": [_share(share) for share in compliance.joints],
    }


def _share(share: JointShare) -> dict[str, Any]:
    return {
        **_joint(share.joint),
        "force_per_force": share.force_per_force,
        "stiffness_n_mm": share.stiffness_n_mm,
        "share": share.share,
    }


def _upgrade(upgrade: JointUpgrade) -> dict[str, Any]:
    stiffer = upgrade.stiffer
    return {
        "location": stiffer.location,
        "part": stiffer.part,
        "revision": stiffer.letter,
        "stiffness_n_mm": stiffer.stiffness_n_mm,
        "saves_mm_per_kn": upgrade.saves_mm_per_kn,
        **_deflection(upgrade.deflection),
    }


def _articulation(articulation: Articulation) -> Iterable[dict[str, Any]]:
    for joint in articulation.joints:
        rotation, tilt = _range(joint.rotation), _range(joint.tilt)
        yield {**_joint(joint.joint), "rotation_deg": rotation, "tilt_deg": tilt}


def _range(found: AngleRange) -> list[float]:
    return [found.minimum, found.maximum]
