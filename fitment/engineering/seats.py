"""Every feature that is judged of an interface: by seat, by the sizes recorded on either side, and its freedoms."""

from dataclasses import replace
from fractions import Fraction

from catalog.codes import FeatureState, MatchFeature, Seat, Sense
from fitment.domain.interfaces import ComponentInterface, Demands, GreatestDemand, RevisionInterface
from fitment.engineering.constants import TAPER_LARGE
from fitment.engineering.features import Feature, judged
from fitment.engineering.pressed import press_features
from fitment.engineering.tolerances import Interval


def judged_features(component: ComponentInterface, revision: RevisionInterface, demands: Demands) -> list[Feature]:
    """All features that the seat and the recorded sizes call for.

    Args:
        component, revision: the two sides, sizes in mm
        demands: what the places ask, degrees and N
    Returns: features in their own units, in a fixed order
    Notes: By seat: pressed, clamped or taper; clamp, bolt, taper and offset besides wherever either side has one of
        their sizes, also too little of it to use (then unmeasured); rotation and tilt always. Sizes meet in their worst
        case.
    References: ISO 286-1 (limits), ISO 273 (bolt clearance), ISO 1119 (tapers), DIN 7190-1 (press fits).

    >>> from fitment.domain.interfaces import demands_of
    >>> part = RevisionInterface("P", "A", "released", "clamped", True, True)
    >>> [str(one.feature) for one in judged_features(ComponentInterface("C"), part, demands_of([]))]
    ['clamp_least', 'clamp_greatest', 'bolt_least', 'bolt_greatest', 'rotation', 'tilt']
    """
    recorded = component.recorded | revision.recorded

    def called_for(seat: Seat | None, names: set[str], *sizes: Interval | Fraction | float | None) -> bool:
        return revision.seat == seat or bool(recorded & names) or any(size is not None for size in sizes)

    features: list[Feature] = []
    if revision.seat == Seat.PRESSED:
        features += [*press_features(component, revision, demands), _body_length(component, revision)]
    if called_for(Seat.CLAMPED, {"clevis_gap", "sleeve"}, component.clevis_gap, revision.sleeve):
        features += _clamp(component, revision)
    if called_for(Seat.CLAMPED, {"bolt", "hole"}, component.bolt, revision.hole):
        features += _bolt(component, revision)
    tapers = (component.taper, component.taper_large, revision.taper, revision.taper_large_mm)
    if called_for(Seat.TAPER, {"taper_large"}, *tapers):
        features += _taper(component, revision)
    if called_for(None, {"centre_offset"}, component.centre_offset, revision.centre_offset_mm):
        features.append(_offset(component, revision))
    rotation = revision.rotation_deg, revision.allows_rotation, demands.rotation
    tilt = revision.tilt_deg, revision.allows_tilt, demands.tilt
    return [*features, _freedom(MatchFeature.ROTATION, *rotation), _freedom(MatchFeature.TILT, *tilt)]


def _clamp(component: ComponentInterface, revision: RevisionInterface) -> list[Feature]:
    """Sleeve in its clevis: the gap less the sleeve lies between zero and what the ears bear to be drawn up."""
    outer, inner = ("component.clevis_gap", component.clevis_gap), ("revision.sleeve", revision.sleeve)
    return _play(MatchFeature.CLAMP_LEAST, MatchFeature.CLAMP_GREATEST, outer, inner, revision.draw_up_limit_mm)


def _bolt(component: ComponentInterface, revision: RevisionInterface) -> list[Feature]:
    """Bolt in the hole: the hole less the bolt, diametral, lies between zero and the clearance limit."""
    outer, inner = ("revision.hole", revision.hole), ("component.bolt", component.bolt)
    return _play(MatchFeature.BOLT_LEAST, MatchFeature.BOLT_GREATEST, outer, inner, revision.clearance_limit_mm)


Named = tuple[str, Interval | None]
"""A size with the name of the fact."""


def _play(least: MatchFeature, greatest: MatchFeature, outer: Named, inner: Named, limit: float) -> list[Feature]:
    """What the outer size leaves the inner one, from zero to a limit, in mm."""
    (_, hollow), (_, solid) = outer, inner
    play = None if hollow is None or solid is None else hollow.minus(solid)
    smallest, largest = (None, None) if play is None else (_rounded(play.low), _rounded(play.high))
    missing = _missing(*sorted((outer, inner)))
    return [
        judged(least, "mm", Sense.AT_LEAST, smallest, 0.0, missing),
        judged(greatest, "mm", Sense.AT_MOST, largest, limit, missing),
    ]


def _taper(component: ComponentInterface, revision: RevisionInterface) -> list[Feature]:
    """The same ratio, and large ends that agree: 1 mm of draw at 1:10 is 0.10 mm. Contact pattern is not judged."""
    ratio = None
    if component.taper is not None and revision.taper is not None:
        ratio = float(abs(component.taper - revision.taper))
    ratio_missing = _missing(("component.taper", component.taper), ("revision.taper", revision.taper))
    large_missing = _missing(
        ("component.taper_large", component.taper_large), ("revision.taper_large", revision.taper_large_mm)
    )
    large = _farthest(component.taper_large, revision.taper_large_mm)
    return [
        judged(MatchFeature.TAPER_RATIO, "1", Sense.AT_MOST, ratio, 0.0, ratio_missing),
        judged(MatchFeature.TAPER_LARGE, "mm", Sense.AT_MOST, large, TAPER_LARGE.value, large_missing),
    ]


def _offset(component: ComponentInterface, revision: RevisionInterface) -> Feature:
    """Centre offset against centre offset; one turned over is not considered: it would need a mirrored part."""
    known, own = component.centre_offset, revision.centre_offset_mm
    missing = _missing(("component.centre_offset", known), ("revision.centre_offset", own))
    return judged(MatchFeature.OFFSET, "mm", Sense.AT_MOST, _farthest(known, own), revision.offset_limit_mm, missing)


def _body_length(component: ComponentInterface, revision: RevisionInterface) -> Feature:
    """Pressed length against the seat's least length; a shoulder outside the seat is no part of it."""
    seat, body = component.seat_length, revision.body_length_mm
    missing = _missing(("component.seat_length", seat), ("revision.body_length", body))
    return judged(MatchFeature.BODY_LENGTH, "mm", Sense.AT_MOST, body, None if seat is None else seat.low, missing)


def _freedom(name: MatchFeature, given: float | None, allowed: bool, demand: GreatestDemand) -> Feature:
    """A movement each way, in degrees; one asked that the technology does not allow is ``refused``.

    A joint that must move and cannot twists its arm until it breaks: no size cures that. A movement that is not
    allowed is 0 where the revision gives no figure.
    """
    if given is None and not allowed:
        given = 0.0
    missing = [f"revision.{name}"] if given is None else []
    if demand.unknown:
        missing.append(f"asked.{name}")
    feature = judged(name, "deg", Sense.AT_LEAST, given, demand.value, tuple(missing))
    if not allowed and demand.value is not None and demand.value > 0:
        return replace(feature, state=FeatureState.REFUSED, missing=())
    return feature


def _rounded(size: float) -> float:
    return round(size, 10)  # sizes carry five decimals: the rest is binary rounding


def _farthest(known: Interval | None, own: float | None) -> float | None:
    if known is None or own is None:
        return None
    return max(abs(_rounded(own - known.low)), abs(_rounded(own - known.high)))


def _missing(*facts: tuple[str, object]) -> tuple[str, ...]:
    return tuple(name for name, value in facts if value is None)
