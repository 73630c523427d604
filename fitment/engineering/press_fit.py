"""Press fits: thick rings after Lame, plane stress. Interference is diametral throughout."""

from dataclasses import dataclass
from math import pi, sqrt

from fitment.engineering import constants
from fitment.engineering.errors import BadGeometry


@dataclass(frozen=True)
class MaterialProperties:
    """What a press fit needs of a material: E in MPa, Poisson's ratio, yield in MPa, expansion per K."""

    modulus_mpa: float
    poisson: float
    yield_mpa: float
    expansion_per_k: float


@dataclass(frozen=True)
class PressFit:
    """Geometry and materials of one fit: arm outside D, joint d, housing bore i (0: solid), in mm."""

    outside_mm: float
    joint_mm: float
    housing_bore_mm: float
    arm: MaterialProperties
    body: MaterialProperties

    def __post_init__(self) -> None:
        if not 0 <= self.housing_bore_mm < self.joint_mm < self.outside_mm:
            raise BadGeometry(
                f"housing bore {self.housing_bore_mm}, joint {self.joint_mm} and arm outside "
                f"{self.outside_mm} mm must rise in this order"
            )

    @property
    def pressure_per_mm(self) -> float:
        """Contact pressure in MPa for each mm of effective interference."""
        outside, joint, bore = self.outside_mm**2, self.joint_mm**2, self.housing_bore_mm**2
        eye = ((outside + joint) / (outside - joint) + self.arm.poisson) / self.arm.modulus_mpa
        housing = ((joint + bore) / (joint - bore) - self.body.poisson) / self.body.modulus_mpa
        return 1 / (self.joint_mm * (eye + housing))

    def thermal_loss(self, temperature_c: float) -> float:
        """Interference in mm lost at a temperature (degC) of arm and joint alike, negative when the fit gets tighter.

        d (alpha_arm - alpha_body) (T - 20), expansion constant over the range; reference temperature ISO 1.
        """
        warming = temperature_c - constants.TEMPERATURE_REFERENCE.value
        return self.joint_mm * (self.arm.expansion_per_k - self.body.expansion_per_k) * warming

    @property
    def thermal_losses(self) -> tuple[float, float]:
        """At the coldest and the hottest service: linear in temperature, so that one of them is the worst."""
        coldest, hottest = constants.TEMPERATURE_LEAST.value, constants.TEMPERATURE_GREATEST.value
        return self.thermal_loss(coldest), self.thermal_loss(hottest)

    def minimum_effective(self, interference_mm: float, smoothing_mm: float) -> float:
        """Least effective interference in mm over the service temperatures; negative: loose (DIN 7190-1 section 4)."""
        return interference_mm - smoothing_mm - max(self.thermal_losses)

    def maximum_effective(self, interference_mm: float) -> float:
        """Greatest effective interference in mm over the service temperatures; smoothing is not taken off here."""
        return interference_mm - min(self.thermal_losses)


EXAMPLE_FIT = PressFit(
    80, 62, 50, MaterialProperties(70e3, 0.33, 280, 23e-6), MaterialProperties(210e3, 0.3, 600, 11.5e-6)
)
"""An aluminium eye with a steel joint: what the examples below compute."""


@dataclass(frozen=True)
class RingState:
    """Stresses in MPa (tension positive) and changes of diameter in mm (the way a press fit moves them)."""

    contact_hoop_mpa: float
    contact_radial_mpa: float
    free_hoop_mpa: float
    von_mises_mpa: float
    contact_change_mm: float
    free_change_mm: float


def pressure(fit: PressFit, interference_mm: float) -> float:
    """Contact pressure of a press fit.

    Args:
        fit: geometry in mm, materials in MPa
        interference_mm: effective diametral interference in mm
    Returns: pressure in MPa, 0 when there is no interference
    Notes: Elastic, plane stress, uniform along the length: the pressure rise at the ends of a short joint is not in it.
    References: Lame; Timoshenko, Strength of Materials II; Shigley, equation 3-56.

    >>> round(pressure(EXAMPLE_FIT, 0.06), 6)
    11.657059
    """
    return max(0.0, interference_mm) * fit.pressure_per_mm


def eye_state(fit: PressFit, pressure_mpa: float) -> RingState:
    """Stresses and growth of the arm's eye.

    Args:
        fit: geometry in mm, materials in MPa
        pressure_mpa: contact pressure in MPa
    Returns: stresses at bore and outside in MPa, growth of bore and outside in mm; von Mises at the bore, where it is
        greatest
    Notes: A round eye of constant wall; a real eye is stiffer towards its arm.
    References: Lame; Shigley, equation 3-49.

    >>> round(eye_state(EXAMPLE_FIT, pressure(EXAMPLE_FIT, 0.06)).von_mises_mpa, 5)
    53.50893
    """
    outside, joint = fit.outside_mm**2, fit.joint_mm**2
    hoop = pressure_mpa * (outside + joint) / (outside - joint)
    free_hoop = pressure_mpa * 2 * joint / (outside - joint)
    return RingState(
        contact_hoop_mpa=hoop,
        contact_radial_mpa=-pressure_mpa,
        free_hoop_mpa=free_hoop,
        von_mises_mpa=sqrt(hoop**2 + hoop * pressure_mpa + pressure_mpa**2),
        contact_change_mm=fit.joint_mm * (hoop + fit.arm.poisson * pressure_mpa) / fit.arm.modulus_mpa,
        free_change_mm=fit.outside_mm * free_hoop / fit.arm.modulus_mpa,
    )


def housing_state(fit: PressFit, pressure_mpa: float) -> RingState:
    """Stresses and shrinkage of the joint's housing.

    Args:
        fit: geometry in mm, materials in MPa; a housing bore of 0 is a solid pin
        pressure_mpa: contact pressure in MPa
    Returns: stresses in MPa; shrinkage of the outside and closure of the bore in mm; the greatest von Mises
    Notes: A solid pin has hoop and radial stress of -p everywhere; the smallest hole doubles the hoop stress at its
        edge, so that the pin is no limit of the ring.
    References: Lame; Timoshenko, Strength of Materials II, thick cylinders.

    >>> round(housing_state(EXAMPLE_FIT, pressure(EXAMPLE_FIT, 0.06)).free_change_mm, 7)
    0.0158765
    """
    joint, bore = fit.joint_mm**2, fit.housing_bore_mm**2
    hoop = -pressure_mpa * (joint + bore) / (joint - bore)
    free_hoop = -pressure_mpa * 2 * joint / (joint - bore) if bore else -pressure_mpa
    return RingState(
        contact_hoop_mpa=hoop,
        contact_radial_mpa=-pressure_mpa,
        free_hoop_mpa=free_hoop,
        von_mises_mpa=-free_hoop,
        contact_change_mm=-fit.joint_mm * (hoop + fit.body.poisson * pressure_mpa) / fit.body.modulus_mpa,
        free_change_mm=-fit.housing_bore_mm * free_hoop / fit.body.modulus_mpa,
    )


def smoothing_loss(roughness_arm_um: float, roughness_body_um: float) -> float:
    """Interference lost by smoothing of both surfaces while pressing in.

    Args:
        roughness_arm_um, roughness_body_um: mean peak to valley heights Rz in micrometres
    Returns: loss in mm, never negative
    Notes: Taken off at the least interference only: at the greatest it would make stress and closure look safer.
    References: DIN 7190:2001, 0.8 (Rz1 + Rz2); the edition of 2017 takes 0.4.

    >>> round(smoothing_loss(10, 4), 6)
    0.0112
    """
    return constants.SMOOTHING.value * (roughness_arm_um + roughness_body_um) / 1000


def axial_force(fit: PressFit, pressure_mpa: float, length_mm: float, friction: float) -> float:
    """Axial force that slides a press fit: holding with low friction, pressing in with high.

    Args:
        fit: diameter in mm
        pressure_mpa: contact pressure in MPa
        length_mm: engaged length in mm
        friction: coefficient of friction
    Returns: force in N
    Notes: Friction alone; shoulders, circlips and adhesive are not in it.
    References: F = mu pi d L p; DIN 7190-1.

    >>> round(axial_force(EXAMPLE_FIT, pressure(EXAMPLE_FIT, 0.06), 40, 0.08), 2)
    7265.75
    """
    return friction * pi * fit.joint_mm * length_mm * pressure_mpa


def minimum_interference_to_hold(fit: PressFit, force_n: float, length_mm: float, smoothing_mm: float) -> float:
    """Least interference at 20 degC whose worst hold still reaches a force.

    Args:
        fit: geometry in mm
        force_n: hold asked, in N
        length_mm: engaged length in mm, above 0
        smoothing_mm: loss by smoothing, in mm
    Returns: diametral interference in mm; minus infinity when no force is asked
    Raises: BadGeometry: no engaged length
    Notes: The inverse of hold at :meth:`PressFit.minimum_effective`, with the low friction of the constants.
    References: DIN 7190-1 section 4, solved for the interference.

    >>> round(minimum_interference_to_hold(EXAMPLE_FIT, 5000, 40, 0.0112), 6)
    0.123293
    """
    if length_mm <= 0:
        raise BadGeometry("a joint that engages over no length holds nothing")
    if force_n <= 0:
        return float("-inf")
    per_mm = axial_force(fit, fit.pressure_per_mm, length_mm, constants.FRICTION_HOLD.value)
    return force_n / per_mm + smoothing_mm + max(fit.thermal_losses)


def maximum_interference_within(fit: PressFit, closure_um: float | None) -> float:
    """Greatest interference at 20 degC that stays within both yields and the closure allowance.

    Args:
        fit: geometry in mm, yields in MPa
        closure_um: greatest closure of the housing bore in micrometres; None when it is not judged
    Returns: diametral interference in mm
    Notes: The inverse of stress and closure at :meth:`PressFit.maximum_effective`.
    References: Lame, solved for the interference.

    >>> round(maximum_interference_within(EXAMPLE_FIT, None), 6)
    0.271186
    """
    pressures = [
        fit.arm.yield_mpa / eye_state(fit, 1.0).von_mises_mpa,
        fit.body.yield_mpa / housing_state(fit, 1.0).von_mises_mpa,
    ]
    if closure_um is not None and fit.housing_bore_mm:
        pressures.append(closure_um / 1000 / housing_state(fit, 1.0).free_change_mm)
    return min(pressures) / fit.pressure_per_mm + min(fit.thermal_losses)
