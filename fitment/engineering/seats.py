"""Seats that are not pressed, and what every seat shares: clamp, bolt, taper, offset, body length."""

import re
from fractions import Fraction

from catalog.codes import Sense
from fitment.domain.interfaces import Component, Revision
from fitment.engineering.constants import BOLT_CLEARANCE, CENTRE_OFFSET, DRAW_UP, TAPER_LARGE
from fitment.engineering.errors import BadTaper
from fitment.engineering.features import Feature, judged

_TAPER = re.compile(r"\s*(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)\s*", re.ASCII)


def taper_of(written: str) -> Fraction:
    """A taper from the way it is written.

    Parameters
    ----------
    written : ``"1:10"``, diameter difference to length

    Returns
    -------
    the ratio, without unit, exact

    Raises
    ------
    BadTaper : not written so, or nought on either side

    Notes
    -----
    ``1:10`` and ``2:20`` are the same taper.

    References
    ----------
    ISO 1119 (rate of taper C = 1:x).

    Examples
    --------
    >>> taper_of("1:10")
    Fraction(1, 10)
    """
    match = _TAPER.fullmatch(written)
    if match is None or not Fraction(match[1]) or not Fraction(match[2]):
        raise BadTaper(f"{written!r} is no taper; write it as '1:10'")
    return Fraction(match[1]) / Fraction(match[2])


def clamp_features(component: Component, revision: Revision) -> list[Feature]:
    """Sleeve in its clevis: the gap less the sleeve lies between nought and the draw-up limit.

    Parameters
    ----------
    component : clevis gap in mm
    revision : sleeve and draw-up limit in mm

    Returns
    -------
    ``clamp_least`` and ``clamp_greatest`` in mm

    Notes
    -----
    Draw-up of the clevis bends its ears; the limit stands for what they bear.

    References
    ----------
    Worst case of limits; the default limit is common practice.

    Examples
    --------
    >>> from fitment.engineering.tolerances import Interval
    >>> part = Revision("P", "A", "released", "clamped", True, True, sleeve=Interval(50.0, 50.1))
    >>> [feature.margin for feature in clamp_features(Component("C", clevis_gap=Interval(50.1, 50.3)), part)]
    [0.0, 0.2]
    """
    gap, sleeve = component.clevis_gap, revision.sleeve
    missing = _missing(("component.clevis_gap", gap), ("revision.sleeve", sleeve))
    least = greatest = None
    if gap is not None and sleeve is not None:
        least, greatest = _difference(gap.low, sleeve.high), _difference(gap.high, sleeve.low)
    limit = DRAW_UP.value if revision.draw_up_mm is None else revision.draw_up_mm
    return [
        judged("clamp_least", "mm", Sense.AT_LEAST, least, 0.0, missing),
        judged("clamp_greatest", "mm", Sense.AT_MOST, greatest, limit, missing),
    ]


def bolt_features(component: Component, revision: Revision) -> list[Feature]:
    """Bolt in the hole: the hole less the bolt lies between nought and the clearance limit.

    Parameters
    ----------
    component : bolt in mm
    revision : hole and clearance limit in mm

    Returns
    -------
    ``bolt_least`` and ``bolt_greatest`` in mm

    Notes
    -----
    Diametral clearance.

    References
    ----------
    ISO 273 for the default limit; worst case of limits.

    Examples
    --------
    >>> from fitment.engineering.tolerances import Interval
    >>> part = Revision("P", "A", "released", "clamped", True, True, hole=Interval(12.1, 12.2))
    >>> [feature.margin for feature in bolt_features(Component("C", bolt=Interval(12.0, 12.0)), part)]
    [0.1, 0.3]
    """
    bolt, hole = component.bolt, revision.hole
    missing = _missing(("component.bolt", bolt), ("revision.hole", hole))
    least = greatest = None
    if bolt is not None and hole is not None:
        least, greatest = _difference(hole.low, bolt.high), _difference(hole.high, bolt.low)
    limit = BOLT_CLEARANCE.value if revision.clearance_mm is None else revision.clearance_mm
    return [
        judged("bolt_least", "mm", Sense.AT_LEAST, least, 0.0, missing),
        judged("bolt_greatest", "mm", Sense.AT_MOST, greatest, limit, missing),
    ]


def taper_features(component: Component, revision: Revision) -> list[Feature]:
    """Taper against taper: the same ratio, and large ends that agree.

    Parameters
    ----------
    component, revision : ratio without unit, diameter of the large end in mm

    Returns
    -------
    ``taper_ratio`` (difference, without unit) and ``taper_large`` (greatest difference in mm)

    Notes
    -----
    1 mm of draw at 1:10 is 0.10 mm of diameter. Contact pattern is not judged.

    References
    ----------
    ISO 1119 for the ratio; the limit of the large end is common practice.

    Examples
    --------
    >>> from fitment.engineering.tolerances import Interval
    >>> eye = Component("C", taper=Fraction(1, 10), taper_large=Interval(15.0, 15.0))
    >>> pin = Revision("P", "A", "released", "taper", True, True, taper=Fraction(1, 10), taper_large_mm=15.05)
    >>> [str(feature.state) for feature in taper_features(eye, pin)]
    ['ok', 'ok']
    """
    ratio = large = None
    if component.taper is not None and revision.taper is not None:
        ratio = float(abs(component.taper - revision.taper))
    if component.taper_large is not None and revision.taper_large_mm is not None:
        large = _farthest(component.taper_large.low, component.taper_large.high, revision.taper_large_mm)
    ratio_missing = _missing(("component.taper", component.taper), ("revision.taper", revision.taper))
    large_missing = _missing(
        ("component.taper_large", component.taper_large), ("revision.taper_large", revision.taper_large_mm)
    )
    return [
        judged("taper_ratio", "1", Sense.AT_MOST, ratio, 0.0, ratio_missing),
        judged("taper_large", "mm", Sense.AT_MOST, large, TAPER_LARGE.value, large_missing),
    ]


def offset_features(component: Component, revision: Revision) -> list[Feature]:
    """Centre offset against centre offset.

    Parameters
    ----------
    component, revision : offset of the joint's centre from the middle of its seat in mm; the limit in mm

    Returns
    -------
    ``offset``, the greatest difference in mm

    Notes
    -----
    An offset turned over is not considered: it would need a mirrored part.

    References
    ----------
    The default limit is common practice.

    Examples
    --------
    >>> from fitment.engineering.tolerances import Interval
    >>> part = Revision("P", "A", "released", "pressed", True, True, centre_offset_mm=3.2)
    >>> offset_features(Component("C", centre_offset=Interval(3.0, 3.0)), part)[0].margin
    0.3
    """
    known, own = component.centre_offset, revision.centre_offset_mm
    value = None if known is None or own is None else _farthest(known.low, known.high, own)
    limit = CENTRE_OFFSET.value if revision.offset_mm is None else revision.offset_mm
    missing = _missing(("component.centre_offset", known), ("revision.centre_offset", own))
    return [judged("offset", "mm", Sense.AT_MOST, value, limit, missing)]


def body_length_features(component: Component, revision: Revision) -> list[Feature]:
    """Pressed length against the seat's least length.

    Parameters
    ----------
    component : seat length in mm
    revision : pressed length of the body in mm

    Returns
    -------
    ``body_length`` in mm

    Notes
    -----
    A shoulder outside the seat is no part of the pressed length.

    References
    ----------
    Definition of the project.

    Examples
    --------
    >>> from fitment.engineering.tolerances import Interval
    >>> part = Revision("P", "A", "released", "pressed", True, True, body_length_mm=38.0)
    >>> body_length_features(Component("C", seat_length=Interval(40.0, 40.0)), part)[0].margin
    2.0
    """
    seat, body = component.seat_length, revision.body_length_mm
    missing = _missing(("component.seat_length", seat), ("revision.body_length", body))
    return [judged("body_length", "mm", Sense.AT_MOST, body, None if seat is None else seat.low, missing)]


def _difference(longer: float, shorter: float) -> float:
    return round(longer - shorter, 10)  # sizes carry five decimals: the rest is binary rounding


def _farthest(low: float, high: float, own: float) -> float:
    return max(abs(_difference(own, low)), abs(_difference(own, high)))


def _missing(*facts: tuple[str, object]) -> tuple[str, ...]:
    return tuple(name for name, value in facts if value is None)
