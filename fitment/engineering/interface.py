"""Does a revision work in a component's interface: every judged feature, and the verdict they give."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import FeatureState, MatchVerdict, MatchWarning
from fitment.domain.interfaces import Component, Demands, Revision
from fitment.engineering.arm import Neighbour, Warning, arm_warnings
from fitment.engineering.features import Feature
from fitment.engineering.freedoms import freedom_features
from fitment.engineering.pressed import interference_of, press_features, press_in_force, press_of
from fitment.engineering.resize import outside_range, serving_hole, sleeve_range
from fitment.engineering.seats import (
    body_length_features,
    bolt_features,
    clamp_features,
    offset_features,
    taper_features,
)
from fitment.engineering.tolerances import Interval

BY_OUTSIDE = frozenset({"hold", "eye_stress", "body_stress", "closure"})
BY_SLEEVE = frozenset({"clamp_least", "clamp_greatest"})
BY_HOLE = frozenset({"bolt_least", "bolt_greatest"})
CURABLE = BY_OUTSIDE | BY_SLEEVE | BY_HOLE


@dataclass(frozen=True)
class Resize:
    """What to machine: ranges of the middle of outside and sleeve, the hole, in mm; None: as it is."""

    outside: Interval | None = None
    sleeve: Interval | None = None
    hole_mm: float | None = None


@dataclass(frozen=True)
class Match:
    """One revision against one component: verdict, features, what refuses it, what is missing, warnings."""

    part: str
    letter: str
    status: str
    verdict: MatchVerdict
    refused_by: tuple[str, ...]
    missing: tuple[str, ...]
    features: tuple[Feature, ...]
    interference: Interval | None
    press_in_n: float | None
    resize: Resize | None
    warnings: tuple[Warning, ...]


def judged_features(component: Component, revision: Revision, demands: Demands) -> list[Feature]:
    """All features that the seat and the recorded sizes call for.

    Parameters
    ----------
    component, revision : the two sides, sizes in mm
    demands : what the places ask, degrees and N

    Returns
    -------
    features in their own units, in a fixed order

    Notes
    -----
    By seat: pressed, clamped or taper; clamp, bolt, taper and offset besides wherever either side has one of
    their sizes, also too little of it to use (then unmeasured); rotation and tilt always.

    References
    ----------
    Definition of the project.

    Examples
    --------
    >>> from fitment.domain.interfaces import demands_of
    >>> part = Revision("P", "A", "released", "clamped", True, True)
    >>> [feature.feature for feature in judged_features(Component("C"), part, demands_of([]))]
    ['clamp_least', 'clamp_greatest', 'bolt_least', 'bolt_greatest', 'rotation', 'tilt']
    """
    features: list[Feature] = []
    if revision.seat == "pressed":
        features += press_features(component, revision, demands)
        features += body_length_features(component, revision)
    recorded = component.recorded | revision.recorded
    if (
        revision.seat == "clamped"
        or _either(component.clevis_gap, revision.sleeve)
        or recorded & {"clevis_gap", "sleeve"}
    ):
        features += clamp_features(component, revision)
    if revision.seat == "clamped" or _either(component.bolt, revision.hole) or recorded & {"bolt", "hole"}:
        features += bolt_features(component, revision)
    tapers = (component.taper, component.taper_large, revision.taper, revision.taper_large_mm)
    if revision.seat == "taper" or _either(*tapers) or "taper_large" in recorded:
        features += taper_features(component, revision)
    if _either(component.centre_offset, revision.centre_offset_mm) or "centre_offset" in recorded:
        features += offset_features(component, revision)
    return features + freedom_features(revision, demands)


def match(component: Component, revision: Revision, demands: Demands, neighbours: Sequence[Neighbour] = ()) -> Match:
    """One revision against one component.

    Parameters
    ----------
    component, revision : the two sides, sizes in mm
    demands : what the places ask, degrees and N
    neighbours : released parts approved at the other joints of its links

    Returns
    -------
    the match: margins by feature in N, MPa, um, mm or degrees; interference and ranges in mm, press-in force
    in N

    Notes
    -----
    A refusal or a failing feature that no machining cures: ``new_design``; else anything not known:
    ``unmeasured``; else anything failing: ``resize``; else ``drops_in``. An estimate for comparing designs,
    no proof of strength.

    References
    ----------
    DIN 7190-1, Lame, ISO 286-1, ISO 16269-6 through the features.

    Examples
    --------
    >>> from fitment.domain.interfaces import Demand, Place, demands_of
    >>> clevis = Component("C", clevis_gap=Interval(50.0, 50.2), bolt=Interval(12.0, 12.0))
    >>> part = Revision("P", "A", "released", "clamped", True, True, sleeve=Interval(49.8, 49.9),
    ...                 hole=Interval(12.1, 12.2), rotation_deg=20, tilt_deg=10)
    >>> asked = demands_of([Demand(Place("FX1", "lower_arm.rear"), 15, 5, None, None)])
    >>> match(clevis, part, asked).verdict
    <MatchVerdict.DROPS_IN: 'drops_in'>
    """
    features = judged_features(component, revision, demands)
    refused = tuple(feature.feature for feature in features if feature.state is FeatureState.REFUSED)
    failing = {feature.feature for feature in features if feature.state is FeatureState.FAILS}
    missing = dict.fromkeys(name for feature in features for name in feature.missing)
    cure = Resize(
        outside=outside_range(component, revision, demands) if failing & BY_OUTSIDE else None,
        sleeve=sleeve_range(component, revision) if failing & BY_SLEEVE else None,
        hole_mm=serving_hole(component, revision) if failing & BY_HOLE else None,
    )
    verdict = MatchVerdict.DROPS_IN
    if refused or failing - CURABLE or not _cures(cure, failing):
        verdict = MatchVerdict.NEW_DESIGN
    elif any(feature.state is FeatureState.UNMEASURED for feature in features):
        verdict = MatchVerdict.UNMEASURED
    elif failing:
        verdict = MatchVerdict.RESIZE
    pressed = revision.seat == "pressed"
    press = press_of(component, revision)[0] if pressed else None
    outside_stated = (Warning(MatchWarning.MEASURED_OUTSIDE_STATED) for _ in component.outside_stated[:1])
    return Match(
        part=revision.part,
        letter=revision.letter,
        status=revision.status,
        verdict=verdict,
        refused_by=refused,
        missing=tuple(missing),
        features=tuple(features),
        interference=interference_of(component, revision) if pressed else None,
        press_in_n=None if press is None else press_in_force(press),
        resize=cure if verdict is MatchVerdict.RESIZE else None,
        warnings=(*outside_stated, *arm_warnings(revision, neighbours)),
    )


def _cures(cure: Resize, failing: set[str]) -> bool:
    needed = ((BY_OUTSIDE, cure.outside), (BY_SLEEVE, cure.sleeve), (BY_HOLE, cure.hole_mm))
    return all(remedy is not None for group, remedy in needed if failing & group)


def _either(*sizes: object) -> bool:
    return any(size is not None for size in sizes)
