"""How far the wheel gives way, and which joint lets it: unit loads through the joints in series."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import degrees
from typing import Annotated

import numpy as np

from catalog.codes import LoadCase
from fitment.answers.contract import INLINE, As, member
from fitment.engineering.corner import Corner, Force, JointName, Statics, Vector

_NEWTONS_PER_KN = 1000.0


@dataclass(frozen=True)
class JointShare:
    """A joint under a braking force of one: force per force, stiffness in N/mm (None: rigid), share of the whole."""

    joint: Annotated[JointName, INLINE]
    force_per_force: float
    stiffness_n_mm: float | None
    share: float

    def saving(self, stiffness_n_mm: float) -> float:
        """What another stiffness (N/mm, above 0) saves at the contact patch in mm/kN, negative when it is softer.

        n_j^2 (1/k - 1/k'), springs in series; a joint whose stiffness is not known counts as rigid and can only lose.

        >>> round(JointShare(JointName("a", "inner", ""), 1.5, 2000.0, 1.0).saving(20000.0), 6)
        1.0125
        """
        before = 1 / self.stiffness_n_mm if self.stiffness_n_mm else 0.0
        return self.force_per_force**2 * (before - 1 / stiffness_n_mm) * _NEWTONS_PER_KN


@dataclass(frozen=True)
class Deflection:
    """Of the contact patch and the wheel centre in mm/kN, rearward; castor and toe in degrees per g (None: no car)."""

    contact_mm_per_kn: float
    recession_mm_per_kn: float
    castor_deg_per_g: float | None
    toe_deg_per_g: float | None


def _named(joints: Iterable[JointName]) -> list[str]:
    return [joint.location or f"{joint.link}.{joint.end}" for joint in joints]


@dataclass(frozen=True)
class Compliance:
    """Deflection of the whole corner, joint by joint."""

    deflection: Annotated[Deflection, INLINE]
    joints: tuple[JointShare, ...]

    @member
    def rigid(self) -> Annotated[tuple[JointName, ...], As(_named, list[str])]:
        """The joints whose stiffness is not known, counted as rigid."""
        return tuple(share.joint for share in self.joints if share.stiffness_n_mm is None)


def compliance(
    corner: Corner, stiffness: Mapping[JointName, float | None], forces: Mapping[LoadCase, Force]
) -> Compliance:
    """How the corner gives way under a braking force at the contact patch.

    Args:
        corner: geometry in mm
        stiffness: radial stiffness of each joint in N/mm; None or absent: rigid
        forces: forces at the contact patch by case in N; without braking and standing no angles are given
    Returns: deflections in mm/kN along the braking force and of the wheel centre, angles in degrees per g, shares of
        one
    Raises: SingularCorner: no single set of forces holds the corner
    Notes: c = sum of n_j^2 / k_j over the joints, n_j the vector sum of what acts at a joint; links and spring are
        rigid, joints equally stiff in every direction. Angles: the 1 g braking case less standing; castor counts
        positive leaning rearward, toe inward. For comparing designs.
    References: Castigliano's theorem; ISO 8855:2011 signs of castor and toe.

    >>> from fitment.engineering.corner import EXAMPLE_CORNER
    >>> soft = {JointName("a", "inner", "a.inner"): 2000.0}
    >>> round(compliance(EXAMPLE_CORNER, soft, {}).deflection.contact_mm_per_kn, 6)
    1.125
    """
    statics = Statics(corner)
    maps = [(name, matrix @ statics.solution) for name, matrix in statics.joints]
    braking = statics.wrench((-1.0, 0.0, 0.0), corner.contact)
    flexibility = np.zeros((6, 6))
    parts: list[tuple[JointName, float, float | None, float]] = []
    for name, matrix in maps:
        known = stiffness.get(name)
        per_force = float(np.linalg.norm(matrix @ braking))
        parts.append((name, per_force, known, per_force**2 / known if known else 0.0))
        if known:
            flexibility += matrix.T @ matrix / known
    whole = sum(part for *_, part in parts)
    return Compliance(
        _deflection(statics, flexibility, braking, forces),
        tuple(
            JointShare(name, per_force, known, part / whole if whole else 0.0) for name, per_force, known, part in parts
        ),
    )


def _deflection(statics: Statics, flexibility: Vector, braking: Vector, forces: Mapping[LoadCase, Force]) -> Deflection:
    twist = flexibility @ braking
    castor = toe = None
    if LoadCase.BRAKING in forces and LoadCase.STANDING in forces:
        contact = statics.corner.contact
        change = statics.wrench(forces[LoadCase.BRAKING], contact) - statics.wrench(forces[LoadCase.STANDING], contact)
        turned = flexibility @ change
        castor, toe = degrees(-turned[4]), degrees(-turned[5])
    return Deflection(
        contact_mm_per_kn=float(braking @ twist) * _NEWTONS_PER_KN,
        recession_mm_per_kn=float(-twist[0]) * _NEWTONS_PER_KN,
        castor_deg_per_g=castor,
        toe_deg_per_g=toe,
    )
