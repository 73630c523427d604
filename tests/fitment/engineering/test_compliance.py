"""Compliance against published unit loads, and against displacements found without them."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from catalog.codes import LoadCase, SpringKind
from fitment.engineering.axle_loads import CarFigures, contact_forces
from fitment.engineering.compliance import compliance
from fitment.engineering.corner import TOP_MOUNT, Corner, JointName, Statics
from tests.fitment.engineering.corners import STATICS, corners, published

CAR = CarFigures(1600, 0.52, 2750, 550, 1550)


def five_links() -> Corner:
    """The published corner with a ball joint of its own for each link, as on a multi-link axle."""
    corner = published("five_link_compliance")
    return replace(corner, lines=tuple(replace(line, outer_location=f"{line.link}.outer") for line in corner.lines))


def test_unit_loads():
    # Castigliano; virtual displacements and the numerical derivative of the strain energy agree (derived)
    case = STATICS["five_link_compliance"]
    expected = case["expected"]
    stiffness = {
        JointName(link, "inner", ""): per_metre / 1000
        for link, per_metre in case["inputs"]["stiffness_N_per_m"].items()
    }
    found = compliance(published("five_link_compliance"), stiffness, {})
    assert found.deflection.contact_mm_per_kn == pytest.approx(expected["c_at_contact_m_per_N"] * 1e6, rel=1e-9)
    recession = expected["wheel_centre_recession_mm_per_kN"]
    assert found.deflection.recession_mm_per_kn == pytest.approx(recession, rel=1e-9)
    shares = {share.joint.link: share for share in found.joints if share.joint.end == "inner"}
    for link, share in expected["share"].items():
        assert shares[link].share == pytest.approx(share, rel=1e-9, abs=1e-12)
    saved = shares["lower_trailing"].saving(20e3)
    assert saved == pytest.approx(expected["saving_lower_trailing_to_20e6"] * 1e6, rel=1e-9)
    assert {joint.end for joint in found.rigid} == {"outer"}
    assert found.deflection.castor_deg_per_g is found.deflection.toe_deg_per_g is None


def test_joints_in_series():
    # springs in series (derived); the link itself is rigid here, so its stiffness stands at the outer joint
    case = STATICS["series_stiffness"]["inputs"]
    corner = five_links()
    outer = 1 / (1 / case["outer_N_per_m"] + 1 / case["link_N_per_m"]) / 1000
    names = [JointName("lower_trailing", "inner", ""), JointName("lower_trailing", "outer", "lower_trailing.outer")]
    stiffness = dict(zip(names, (case["inner_N_per_m"] / 1000, outer), strict=True))
    found = compliance(corner, stiffness, {})
    force = next(share.force_per_force for share in found.joints if share.joint == names[0])
    before = STATICS["series_stiffness"]["expected"]["before"] / 1000
    assert found.deflection.contact_mm_per_kn == pytest.approx(1000 * force**2 / before, rel=1e-9)
    joint = next(one for one in found.joints if one.joint == names[0])
    saved = joint.saving(case["upgrade_inner_N_per_m"] / 1000)
    expected = STATICS["series_stiffness"]["expected"]["compliance_saved"] * 1e6
    assert saved == pytest.approx(force**2 * expected, rel=1e-9)


@given(corners)
@settings(max_examples=40, deadline=None)
def test_an_upgrade_saves_what_computing_anew_says(corner):
    names = [name for name, _ in Statics(corner).joints]
    stiffness = {name: 1000.0 + 500.0 * at for at, name in enumerate(names)}
    forces = contact_forces(CAR, "front")
    before = compliance(corner, stiffness, forces)
    for share in before.joints[:3]:
        after = compliance(corner, {**stiffness, share.joint: 20e3}, forces)
        saved = before.deflection.contact_mm_per_kn - after.deflection.contact_mm_per_kn
        assert saved == pytest.approx(share.saving(20e3), rel=1e-6, abs=1e-9)
    assert sum(share.share for share in before.joints) == pytest.approx(1)


@given(corners)
@settings(max_examples=40, deadline=None)
def test_deflection_is_the_slope_of_the_strain_energy(corner):
    """Energy of the joints under a load varied by hand: the slope is the displacement there."""
    statics = Statics(corner)
    names = [name for name, _ in statics.joints]
    stiffness = {name: 1500.0 + 700.0 * at for at, name in enumerate(names)}

    def energy(load):
        held = statics.reactions(load)
        return sum(force @ force / stiffness[name] / 2 for name, force in held.joints)

    found = compliance(corner, stiffness, contact_forces(CAR, "front"))
    braking = statics.wrench((-1000.0, 0.0, 0.0), corner.contact)
    for point, expected in (
        (corner.contact, found.deflection.contact_mm_per_kn),
        (corner.centre, found.deflection.recession_mm_per_kn),
    ):
        rearward = statics.wrench((-1.0, 0.0, 0.0), point)
        slope = (energy(braking + rearward) - energy(braking - rearward)) / 2
        assert slope == pytest.approx(expected, rel=1e-6, abs=1e-9)
    forces = contact_forces(CAR, "front")
    change = statics.wrench(forces[LoadCase.BRAKING], corner.contact) - statics.wrench(
        forces[LoadCase.STANDING], corner.contact
    )
    for axis, expected in ((4, found.deflection.castor_deg_per_g), (5, found.deflection.toe_deg_per_g)):
        couple = np.zeros(6)
        couple[axis] = 1000.0
        slope = (energy(change + couple) - energy(change - couple)) / 2000
        assert np.degrees(-slope) == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_signs_of_castor_and_toe():
    # ISO 8855:2011 (derived): +y turns the top of the axis forward, castor is lost; +z turns the front out, toe-out
    assert STATICS["iso8855_signs"]["expected"]["+y"].endswith("castor is lost")
    corner = published("five_link_compliance")
    soft = {JointName("lower_trailing", "inner", ""): 1000.0}
    found = compliance(corner, soft, contact_forces(CAR, "front")).deflection
    # Braking pulls the lower trailing link long: the lower ball moves rearward, the axis leans forward at the top.
    assert found.castor_deg_per_g < 0
    soft = {JointName("toe", "inner", ""): 1000.0}
    braking = dict(Statics(corner).reactions(Statics(corner).wrench((-4000.0, 0, 5000.0), corner.contact)).lines)
    found = compliance(corner, soft, contact_forces(CAR, "front")).deflection
    # The toe link behind the axle is pushed short: its outer end moves inward, the front of the wheel outward.
    assert braking["toe"] < 0
    assert found.toe_deg_per_g < 0


def test_a_strut_gives_at_its_top_mount():
    corner = published("vertical_strut_braking")
    found = compliance(corner, {TOP_MOUNT: 2000.0}, {})
    side = 0.20 / 0.65  # moments about the ball joint's height
    assert found.deflection.contact_mm_per_kn == pytest.approx(1000 * side**2 / 2000, rel=1e-9)


def test_all_rigid():
    found = compliance(five_links(), {}, contact_forces(CAR, "front"))
    assert found.deflection.contact_mm_per_kn == found.deflection.castor_deg_per_g == 0
    assert {share.share for share in found.joints} == {0.0}
    assert len(found.rigid) == 10


def test_the_spring_is_rigid():
    corner = published("five_link_compliance")
    on_link = replace(corner, spring=replace(corner.spring, kind=SpringKind.LINK, link="lower_lateral"))
    assert compliance(on_link, {}, {}).deflection.contact_mm_per_kn == 0
