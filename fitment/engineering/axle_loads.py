"""One axle's corner, asked everything: wheel loads, forces, compliance, upgrades, angles over the travel."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from catalog.codes import End, LoadCase
from fitment.answers.contract import INLINE, Named
from fitment.engineering.articulation import Articulation, articulation
from fitment.engineering.compliance import Compliance, Deflection, JointShare, compliance
from fitment.engineering.constants import GRAVITY, TOP_MOUNT_STIFFNESS
from fitment.engineering.corner import TOP_MOUNT, Corner, Force, JointName, Reactions, Statics


@dataclass(frozen=True)
class CarFigures:
    """Kerb mass in kg, share of it on the front wheels, wheelbase, height of the centre and track in mm."""

    kerb_mass_kg: float
    front_mass_share: float
    wheelbase_mm: float
    cg_height_mm: float
    track_mm: float


@dataclass(frozen=True)
class StifferRevision:
    """A revision that may replace the component at a location, with its radial stiffness in N/mm."""

    location: str
    part: str
    letter: Annotated[str, Named("revision")]
    stiffness_n_mm: float


@dataclass(frozen=True)
class CaseLoads:
    """One case: the force of the road on the wheel and what holds it, in N."""

    case: LoadCase
    contact: Annotated[Force, Named("contact_force_n")]
    reactions: Annotated[Reactions, INLINE]


@dataclass(frozen=True)
class JointUpgrade:
    """What a revision saves at the contact patch in mm/kN, and the corner with it."""

    stiffer: Annotated[StifferRevision, INLINE]
    saves_mm_per_kn: float
    deflection: Annotated[Deflection, INLINE]


@dataclass(frozen=True)
class CornerLoads:
    """Everything computed of one corner: N, mm/kN, degrees per g, degrees."""

    cases: tuple[CaseLoads, ...]
    compliance: Compliance
    upgrades: tuple[JointUpgrade, ...]
    articulation: Annotated[Articulation, INLINE]

    def share_at(self, location: str) -> JointShare | None:
        """The first joint at a location, as it gives way under braking."""
        return next((share for share in self.compliance.joints if share.joint.location == location), None)


def contact_forces(car: CarFigures, end: str) -> dict[LoadCase, Force]:
    """Forces of the road on the left wheel in the three cases.

    Args:
        car: mass in kg, sizes in mm
        end: ``"front"`` or ``"rear"``
    Returns: force in N by case (x forward, y left, z up): standing; braking at 1 g with its load transfer, every wheel
        braking its own load; cornering at 1 g, the outer wheel with its load transfer
    Notes: Rigid car, level road, no aerodynamics; roll stiffness shared as the mass is. A wheel that lifts carries
        nothing.
    References: Gillespie, Fundamentals of Vehicle Dynamics, chapter 1; standard gravity NIST SP 811.

    >>> forces = contact_forces(CarFigures(1600, 0.52, 2750, 550, 1550), "front")
    >>> round(forces[LoadCase.BRAKING][2], 4)
    5648.6304
    """
    weight = car.kerb_mass_kg * GRAVITY.value
    share = car.front_mass_share if end == End.FRONT else 1 - car.front_mass_share
    pitch = car.cg_height_mm / car.wheelbase_mm / 2 * (1 if end == End.FRONT else -1)
    standing = weight * share / 2
    braking = max(0.0, weight * (share / 2 + pitch))
    cornering = weight * share * (0.5 + car.cg_height_mm / car.track_mm)
    return {
        LoadCase.STANDING: (0.0, 0.0, standing),
        LoadCase.BRAKING: (-braking, 0.0, braking),
        LoadCase.CORNERING: (0.0, -cornering, cornering),
    }


def corner_loads(
    corner: Corner,
    end: str,
    car: CarFigures | None,
    stiffness: Mapping[str, float],
    stiffer: Sequence[StifferRevision] = (),
) -> CornerLoads:
    """Loads, compliance, upgrades and articulation of one corner.

    Args:
        corner: geometry in mm
        end: ``"front"`` or ``"rear"``
        car: mass in kg and sizes in mm; None: no cases, no castor and toe
        stiffness: radial stiffness of the component by location, in N/mm; absent: rigid
        stiffer: revisions to compare, N/mm above 0
    Returns: forces in N, deflections in mm/kN, angles in degrees
    Raises: SingularCorner: no single set of forces holds the corner
    Notes: An estimate for comparing designs, not a proof of strength.
    References: Equilibrium, Castigliano, Newton through :mod:`fitment.engineering.corner` and the modules beside it.

    >>> from fitment.engineering.corner import EXAMPLE_CORNER
    >>> stiffer = StifferRevision("a.inner", "P", "A", 20000.0)
    >>> found = corner_loads(EXAMPLE_CORNER, "front", None, {"a.inner": 2000.0}, [stiffer])
    >>> round(found.upgrades[0].saves_mm_per_kn, 6), found.cases
    (1.0125, ())
    """
    statics = Statics(corner)
    forces = {} if car is None else contact_forces(car, end)
    by_joint = {name: _stiffness(name, corner, stiffness) for name, _ in statics.joints}
    whole = compliance(corner, by_joint, forces)
    return CornerLoads(
        cases=tuple(
            CaseLoads(case, force, statics.reactions(statics.wrench(force, corner.contact)))
            for case, force in forces.items()
        ),
        compliance=whole,
        upgrades=tuple(_upgrade(corner, by_joint, whole, forces, one) for one in stiffer),
        articulation=articulation(corner),
    )


def _stiffness(name: JointName, corner: Corner, by_location: Mapping[str, float]) -> float | None:
    if name == TOP_MOUNT:
        return TOP_MOUNT_STIFFNESS.value if corner.top_mount_n_mm is None else corner.top_mount_n_mm
    return by_location.get(name.location) if name.location else None


def _upgrade(
    corner: Corner,
    by_joint: Mapping[JointName, float | None],
    whole: Compliance,
    forces: Mapping[LoadCase, Force],
    stiffer: StifferRevision,
) -> JointUpgrade:
    shares = [share for share in whole.joints if share.joint.location == stiffer.location]
    changed = {share.joint: stiffer.stiffness_n_mm for share in shares}
    return JointUpgrade(
        stiffer,
        sum(share.saving(stiffer.stiffness_n_mm) for share in shares),
        compliance(corner, {**by_joint, **changed}, forces).deflection,
    )
