"""What machining a part's blank can cure: outside, sleeve and hole, each with its tolerance kept."""

from fitment.domain.interfaces import ComponentInterface, Demands, RevisionInterface
from fitment.engineering.constants import ON_THE_LIMIT
from fitment.engineering.press_fit import maximum_interference_within, minimum_interference_to_hold
from fitment.engineering.pressed import press_of
from fitment.engineering.tolerances import Interval


def outside_range(component: ComponentInterface, revision: RevisionInterface, demands: Demands) -> Interval | None:
    """Outside diameters within the blank that hold and stay within stress and closure.

    Args:
        component, revision: the two sides, sizes in mm
        demands: hold asked in N
    Returns: least and greatest *middle* of the outside's limits in mm; None when none serves or the fit is not known
    Notes: The tolerance width of the revision is kept, both limits lie inside the blank. What is not known of the hold
        (engaged length, force asked) does not bound the range.
    References: DIN 7190-1 section 4 and Lame, solved for the interference.

    >>> from fitment.domain.interfaces import Blank, Demand, AxlePlace, demands_of
    >>> from fitment.engineering.press_fit import EXAMPLE_FIT
    >>> steel = EXAMPLE_FIT.body
    >>> eye = ComponentInterface("C", bore=Interval(62.0, 62.03), seat_length=Interval(40, 40), arm_material=steel,
    ...                 arm_outside_mm=80.0)
    >>> part = RevisionInterface("P", "A", "released", "pressed", True, True, outside=Interval(61.0, 61.02),
    ...                 body_length_mm=38.0, housing_bore_mm=50.0, material=steel,
    ...                 blank=Blank(outside=Interval(60.0, 66.0)))
    >>> asked = demands_of([Demand(AxlePlace("FX1", "lower_arm.rear"), retention_n=8000)])
    >>> served = outside_range(eye, part, asked)
    >>> round(served.low, 4), round(served.high, 4)
    (62.0995, 62.2606)
    """
    press, _ = press_of(component, revision)
    blank = revision.blank.outside
    if press is None or blank is None:
        return None
    half = press.outside.width / 2
    low = blank.low + half
    within = press.bore.low + maximum_interference_within(press.fit, revision.closure_um)
    high = min(blank.high, within) - half
    asked = demands.retention.value
    if press.length_mm is not None and asked is not None and asked > 0:
        if press.length_mm <= 0:
            return None
        least = minimum_interference_to_hold(press.fit, asked, press.length_mm, press.smoothing_mm)
        low = max(low, press.bore.high + least + half)
    return _range(low, high)


def sleeve_range(component: ComponentInterface, revision: RevisionInterface) -> Interval | None:
    """Sleeve lengths within the blank that the clevis draws up.

    Args:
        component: clevis gap in mm
        revision: sleeve, draw-up limit and blank in mm
    Returns: least and greatest *middle* of the sleeve's limits in mm; None when none serves or a size is not known
    Notes: The tolerance width of the revision is kept, both limits lie inside the blank.
    References: Worst case of limits (ISO 286-1).

    >>> from fitment.domain.interfaces import Blank
    >>> part = RevisionInterface("P", "A", "released", "clamped", True, True, sleeve=Interval(52.0, 52.1),
    ...                 blank=Blank(sleeve=Interval(40.0, 60.0)))
    >>> sleeve_range(ComponentInterface("C", clevis_gap=Interval(50.0, 50.2)), part)
    Interval(low=49.75, high=49.95)
    """
    gap, sleeve, blank = component.clevis_gap, revision.sleeve, revision.blank.sleeve
    if gap is None or sleeve is None or blank is None:
        return None
    half = sleeve.width / 2
    # ComponentSizes carry five decimals: a range of one length must not be lost to binary rounding.
    low = round(max(blank.low, gap.high - revision.draw_up_limit_mm) + half, 10)
    high = round(min(blank.high, gap.low) - half, 10)
    return _range(low, high)


def serving_hole(component: ComponentInterface, revision: RevisionInterface) -> float | None:
    """The smallest hole of the blank that takes the bolt.

    Args:
        component: bolt in mm
        revision: hole, clearance limit and the holes the blank can have, in mm
    Returns: the *middle* of the hole's limits in mm; None when none serves or a size is not known
    Notes: The tolerance width of the revision is kept.
    References: ISO 273 for the default clearance; worst case of limits.

    >>> from fitment.domain.interfaces import Blank
    >>> part = RevisionInterface("P", "A", "released", "clamped", True, True, hole=Interval(10.0, 10.1),
    ...                 blank=Blank(holes_mm=(10.05, 12.1, 14.1)))
    >>> serving_hole(ComponentInterface("C", bolt=Interval(12.0, 12.0)), part)
    12.1
    """
    bolt, hole = component.bolt, revision.hole
    if bolt is None or hole is None:
        return None
    half = hole.width / 2
    for middle in sorted(revision.blank.holes_mm):
        play = Interval(middle - half, middle + half).minus(bolt)
        if play.low >= -ON_THE_LIMIT.value and play.high <= revision.clearance_limit_mm + ON_THE_LIMIT.value:
            return middle
    return None


def _range(low: float, high: float) -> Interval | None:
    return Interval(low, high) if low <= high else None
