"""The pressed seat as features: hold, stress in eye and housing, closure of the race, pressing in."""

from dataclasses import dataclass

from catalog.codes import MatchFeature, Sense
from fitment.domain.interfaces import ComponentInterface, Demands, RevisionInterface
from fitment.engineering.constants import FRICTION_HOLD, FRICTION_PRESS_IN, ROUGHNESS_ARM, ROUGHNESS_BODY
from fitment.engineering.features import Feature, judged
from fitment.engineering.press_fit import PressFit, axial_force, eye_state, housing_state, pressure, smoothing_loss
from fitment.engineering.tolerances import Interval


@dataclass(frozen=True)
class Press:
    """A press fit that can be computed: geometry, bore, outside, engaged length, loss by smoothing, in mm."""

    fit: PressFit
    bore: Interval
    outside: Interval
    length_mm: float | None
    smoothing_mm: float

    @property
    def interference(self) -> Interval:
        """Least and greatest diametral interference at 20 degC, in mm."""
        return self.outside.minus(self.bore)


def press_of(component: ComponentInterface, revision: RevisionInterface) -> tuple[Press | None, tuple[str, ...]]:
    """The press fit of a revision in a component, as far as its facts are known.

    Args:
        component: bore, arm outside, seat length in mm, roughness in micrometres
        revision: outside, housing bore, body length in mm, roughness in micrometres
    Returns: the fit (None when a fact is missing) and the names of the missing facts; sizes in mm
    Notes: The diameter of the fit is the middle of the bore's limits. A size that cannot be (an eye thinner than its
        bore) counts as not known. Roughness not recorded is taken from the constants.
    References: DIN 7190-1 section 4.

    >>> press, missing = press_of(ComponentInterface("C", bore=Interval(62.0, 62.03)),
    ...                           RevisionInterface("P", "A", "released", "pressed", True, True))
    >>> press, missing[0], len(missing)
    (None, 'component.arm_outside', 5)
    """
    bore, outside = component.bore, revision.outside
    arm, body = component.arm_material, revision.material
    arm_outside, housing_bore = component.arm_outside_mm, revision.housing_bore_mm
    if bore is not None and arm_outside is not None and arm_outside <= bore.middle:
        arm_outside = None
    if bore is not None and housing_bore is not None and housing_bore >= bore.middle:
        housing_bore = None
    if bore and outside and arm and body and arm_outside is not None and housing_bore is not None:
        fit = PressFit(arm_outside, bore.middle, housing_bore, arm, body)
        roughness_arm = ROUGHNESS_ARM.value if component.roughness_um is None else component.roughness_um
        roughness_body = ROUGHNESS_BODY.value if revision.roughness_um is None else revision.roughness_um
        smoothing = smoothing_loss(roughness_arm, roughness_body)
        return Press(fit, bore, outside, _engaged(component, revision), smoothing), ()
    facts = {
        "component.bore": bore,
        "component.arm_outside": arm_outside,
        "component.arm_material": arm,
        "revision.outside": outside,
        "revision.housing_bore": housing_bore,
        "revision.material": body,
    }
    return None, tuple(name for name, fact in facts.items() if fact is None)


def press_features(component: ComponentInterface, revision: RevisionInterface, demands: Demands) -> list[Feature]:
    """Hold, stresses and closure of a pressed seat in their worst cases.

    Args:
        component, revision: the two sides, sizes in mm
        demands: the hold asked in N
    Returns: ``hold`` in N, ``eye_stress`` and ``body_stress`` (von Mises) in MPa, and ``closure`` in micrometres where
        an allowance is stated and the housing has a bore
    Notes: Over -40 to +100 degC: hold at the least interference less smoothing, the others at the greatest. Elastic;
        estimates for comparing designs, not a proof of strength.
    References: DIN 7190-1 section 4; Lame.

    >>> from fitment.domain.interfaces import demands_of
    >>> part = RevisionInterface("P", "A", "released", "pressed", True, True)
    >>> [str(one.feature) for one in press_features(ComponentInterface("C"), part, demands_of([]))]
    ['hold', 'eye_stress', 'body_stress']
    """
    press, missing = press_of(component, revision)
    hold = eye = body = closure = None
    if press is not None:
        tightest = pressure(press.fit, press.fit.maximum_effective(press.interference.high))
        housing = housing_state(press.fit, tightest)
        eye, body = eye_state(press.fit, tightest).von_mises_mpa, housing.von_mises_mpa
        closure = housing.free_change_mm * 1000
        if press.length_mm is not None:
            loosest = press.fit.minimum_effective(press.interference.low, press.smoothing_mm)
            hold = axial_force(press.fit, pressure(press.fit, loosest), press.length_mm, FRICTION_HOLD.value)
    to_hold = {
        "component.seat_length": component.seat_length is None,
        "revision.body_length": revision.body_length_mm is None,
        "asked.retention": demands.retention.unknown,
    }
    hold_missing = (*missing, *(name for name, lacking in to_hold.items() if lacking))
    arm_yield = None if component.arm_material is None else component.arm_material.yield_mpa
    body_yield = None if revision.material is None else revision.material.yield_mpa
    features = [
        judged(MatchFeature.HOLD, "N", Sense.AT_LEAST, hold, demands.retention.value, hold_missing),
        judged(MatchFeature.EYE_STRESS, "MPa", Sense.AT_MOST, eye, arm_yield, missing),
        judged(MatchFeature.BODY_STRESS, "MPa", Sense.AT_MOST, body, body_yield, missing),
    ]
    if revision.closure_um is not None and revision.housing_bore_mm != 0:
        features.append(judged(MatchFeature.CLOSURE, "um", Sense.AT_MOST, closure, revision.closure_um, missing))
    return features


def press_in_force(press: Press) -> float | None:
    """Force that presses the joint in at 20 degC.

    Args:
        press: the fit, mm
    Returns: force in N at the greatest interference and the high friction; None when the engaged length is not known
    Notes: Without smoothing, so on the high side: it rates the press.
    References: DIN 7190-1 section 5.3 (friction).

    >>> from fitment.engineering.press_fit import EXAMPLE_FIT
    >>> press = Press(EXAMPLE_FIT, Interval(61.99, 62.01), Interval(62.04, 62.05), 40.0, 0.01)
    >>> round(press_in_force(press), 2)
    18164.38
    """
    if press.length_mm is None:
        return None
    contact = pressure(press.fit, press.interference.high)
    return axial_force(press.fit, contact, press.length_mm, FRICTION_PRESS_IN.value)


def _engaged(component: ComponentInterface, revision: RevisionInterface) -> float | None:
    if component.seat_length is None or revision.body_length_mm is None:
        return None
    return min(component.seat_length.low, revision.body_length_mm)
