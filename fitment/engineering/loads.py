"""Wheel loads of one car: standing, braking, cornering."""

from dataclasses import dataclass

from catalog.codes import LoadCase
from fitment.engineering.constants import GRAVITY


@dataclass(frozen=True)
class CarFigures:
    """Kerb mass in kg, share of it on the front wheels, wheelbase, height of the centre and track in mm."""

    kerb_mass_kg: float
    front_mass_share: float
    wheelbase_mm: float
    cg_height_mm: float
    track_mm: float


Force = tuple[float, float, float]


def contact_forces(car: CarFigures, end: str) -> dict[LoadCase, Force]:
    """Forces of the road on the left wheel in the three cases.

    Parameters
    ----------
    car : mass in kg, sizes in mm
    end : ``"front"`` or ``"rear"``

    Returns
    -------
    force in N by case (x forward, y left, z up): standing; braking at 1 g with its load transfer, every wheel braking
    its own load; cornering at 1 g, the outer wheel with its load transfer

    Notes
    -----
    Rigid car, level road, no aerodynamics; roll stiffness shared as the mass is. A wheel that lifts carries nothing.

    References
    ----------
    Gillespie, Fundamentals of Vehicle Dynamics, chapter 1; standard gravity NIST SP 811.

    Examples
    --------
    >>> forces = contact_forces(CarFigures(1600, 0.52, 2750, 550, 1550), "front")
    >>> round(forces[LoadCase.BRAKING][2], 4)
    5648.6304
    """
    weight = car.kerb_mass_kg * GRAVITY.value
    share = car.front_mass_share if end == "front" else 1 - car.front_mass_share
    pitch = car.cg_height_mm / car.wheelbase_mm / 2 * (1 if end == "front" else -1)
    standing = weight * share / 2
    braking = max(0.0, weight * (share / 2 + pitch))
    cornering = weight * share * (0.5 + car.cg_height_mm / car.track_mm)
    return {
        LoadCase.STANDING: (0.0, 0.0, standing),
        LoadCase.BRAKING: (-braking, 0.0, braking),
        LoadCase.CORNERING: (0.0, -cornering, cornering),
    }
