"""One axle's corner, asked everything: forces by case, compliance joint by joint, upgrades, angles over the travel."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog.codes import LoadCase
from fitment.engineering.articulation import Articulation, articulation
from fitment.engineering.compliance import Compliance, Deflection, JointShare, compliance, saving
from fitment.engineering.constants import TOP_MOUNT_STIFFNESS
from fitment.engineering.corner import TOP_MOUNT, Corner, Held, JointName, Statics
from fitment.engineering.loads import CarFigures, Force, contact_forces


@dataclass(frozen=True)
class Stiffer:
    """A revision that may replace the component at a location, with its radial stiffness in N/mm."""

    location: str
    part: str
    letter: str
    stiffness_n_mm: float


@dataclass(frozen=True)
class CaseLoads:
    """One case: the force of the road on the wheel and what holds it, in N."""

    case: LoadCase
    contact: Force
    held: Held


@dataclass(frozen=True)
class Upgrade:
    """What a revision saves at the contact patch in mm/kN, and the corner with it."""

    stiffer: Stiffer
    saves_mm_per_kn: float
    deflection: Deflection


@dataclass(frozen=True)
class CornerLoads:
    """Everything computed of one corner: N, mm/kN, degrees per g, degrees."""

    cases: tuple[CaseLoads, ...]
    compliance: Compliance
    upgrades: tuple[Upgrade, ...]
    articulation: Articulation

    def share_at(self, location: str) -> JointShare | None:
        """The first joint at a location, as it gives way under braking."""
        return next((share for share in self.compliance.joints if share.joint.location == location), None)


def corner_loads(
    corner: Corner, end: str, car: CarFigures | None, stiffness: Mapping[str, float], stiffer: Sequence[Stiffer] = ()
) -> CornerLoads:
    """Loads, compliance, upgrades and articulation of one corner.

    Parameters
    ----------
    corner : geometry in mm
    end : ``"front"`` or ``"rear"``
    car : mass in kg and sizes in mm; None: no cases, no castor and toe
    stiffness : radial stiffness of the component by location, in N/mm; absent: rigid
    stiffer : revisions to compare, N/mm above 0

    Returns
    -------
    forces in N, deflections in mm/kN, angles in degrees

    Raises
    ------
    SingularCorner : no single set of forces holds the corner

    Notes
    -----
    An estimate for comparing designs, not a proof of strength.

    References
    ----------
    The modules corner, loads, compliance, articulation.

    Examples
    --------
    >>> from fitment.engineering.corner import Line, Spring, SpringKind
    >>> lines = (Line("a", (500, 700, 150), (0, 700, 150), "a.inner"), Line("b", (400, 700, 450), (0, 700, 450)),
    ...          Line("c", (0, 300, 150), (0, 700, 150)), Line("d", (0, 350, 450), (0, 700, 450)),
    ...          Line("e", (-150, 300, 150), (-150, 700, 150)))
    >>> corner = Corner(lines, Spring(SpringKind.UPRIGHT, (0, 700, 600), (0, 700, 300)), (0, 750, 0), 320)
    >>> found = corner_loads(corner, "front", None, {"a.inner": 2000.0}, [Stiffer("a.inner", "P", "A", 20000.0)])
    >>> round(found.upgrades[0].saves_mm_per_kn, 6), found.cases
    (1.0125, ())
    """
    statics = Statics(corner)
    forces = {} if car is None else contact_forces(car, end)
    by_joint = {name: _stiffness(name, corner, stiffness) for name, _ in statics.joints}
    whole = compliance(corner, by_joint, forces)
    return CornerLoads(
        cases=tuple(
            CaseLoads(case, force, statics.held(statics.wrench(force, corner.contact)))
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
    stiffer: Stiffer,
) -> Upgrade:
    shares = [share for share in whole.joints if share.joint.location == stiffer.location]
    changed = {share.joint: stiffer.stiffness_n_mm for share in shares}
    return Upgrade(
        stiffer,
        sum(saving(share, stiffer.stiffness_n_mm) for share in shares),
        compliance(corner, {**by_joint, **changed}, forces).deflection,
    )
