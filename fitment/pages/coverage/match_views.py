"""Matches as they are drawn: the nearest first, feature by feature, each with its band and its margin. Pure."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from catalog.codes import FeatureState, MatchVerdict, Sense
from fitment.domain.interfaces import RevisionInterface
from fitment.drawing.bands import Band, Bands, bands
from fitment.engineering.features import Feature
from fitment.engineering.known import KnownSize
from fitment.engineering.matching import InterfaceMatch
from fitment.engineering.tolerances import Interval

VERDICTS = {
    MatchVerdict.DROPS_IN: ("carry_over", "Drops in"),
    MatchVerdict.RESIZE: ("resize", "Fits after machining a blank"),
    MatchVerdict.UNMEASURED: ("unmeasured", "Not measured"),
    MatchVerdict.NEW_DESIGN: ("new_design", "Cannot be made to fit"),
}
FEATURES = {
    "hold": "Hold of the press fit, cold and hot",
    "eye_stress": "Stress in the eye",
    "body_stress": "Stress in the body",
    "closure": "Race closed by the press fit",
    "body_length": "Body in its seat",
    "clamp_least": "Sleeve in its clevis, free",
    "clamp_greatest": "Sleeve in its clevis, draw-up",
    "bolt_least": "Bolt through the hole",
    "bolt_greatest": "Bolt in the hole, play",
    "taper_ratio": "Taper, ratio",
    "taper_large": "Taper, large end",
    "offset": "Centre offset",
    "rotation": "Rotation each way",
    "tilt": "Tilt each way",
}
SIZES = {
    "bore": "bore",
    "seat_length": "seat length",
    "clevis_gap": "clevis gap",
    "bolt": "bolt",
    "taper": "taper",
    "taper_large": "large end of the taper",
    "centre_offset": "centre offset",
    "arm_outside": "outside of the arm's eye",
    "arm_material": "material of the arm",
    "outside": "outside",
    "body_length": "body length",
    "sleeve": "sleeve",
    "hole": "hole",
    "housing_bore": "bore of the housing",
    "material": "material",
    "rotation": "rotation",
    "tilt": "tilt",
    "retention": "retention",
}
STATES = {
    FeatureState.OK: ("released", "within"),
    FeatureState.FAILS: ("not_offered", "fails"),
    FeatureState.UNMEASURED: ("unmeasured", "not known"),
    FeatureState.REFUSED: ("not_offered", "refused"),
}
WARNINGS = {
    "binds": "binds with {part} at {place}: neither may turn",
    "arm_turns": "with {part} at {place} the arm may turn about its own axis (usual, a note)",
    "measured_outside_stated": "a measured mean lies outside the stated limits",
}
_ORDER = tuple(VERDICTS)
_UNITS = {"um": "µm", "deg": "°", "1": ""}
# Which two sizes a feature is about: of the joint, of the part, and where the part's belongs.
_PAIRS = {
    "clamp_least": ("clevis_gap", "sleeve", "below"), "bolt_least": ("bolt", "hole", "above"),
    "body_length": ("seat_length", "body", "below"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class DrawnFeature:
    name: str
    state: str
    word: str
    bands: Bands | None
    value: str
    limit: str
    margin: str
    unit: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrawnMatch:
    part: str
    letter: str
    status: str
    state: str
    word: str
    why: str
    features: tuple[DrawnFeature, ...]
    interference: str
    press_in: str
    resize: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...]
    near: bool


def nearest_first(matches: Sequence[InterfaceMatch], by: Collection[tuple[str, str]]) -> list[InterfaceMatch]:
    """Those that the cell stands at, then by verdict, what fails, what is missing."""

    def far(match: InterfaceMatch) -> tuple[bool, int, int, int, str]:
        failing = sum(feature.state in (FeatureState.FAILS, FeatureState.REFUSED) for feature in match.features)
        return (
            (match.part, match.letter) not in by,
            _ORDER.index(match.verdict),
            failing,
            len(match.missing),
            match.part,
        )

    return sorted(matches, key=far)


def match_view(
    match: InterfaceMatch, revision: RevisionInterface, sizes: Mapping[str, Interval], by: Collection[tuple[str, str]]
) -> DrawnMatch:
    """One match; `sizes` of the joint by feature."""
    state, word = VERDICTS[match.verdict]
    features = [feature_view(feature, revision, sizes) for feature in match.features]
    pressed = _press_row(match, revision, sizes)
    return DrawnMatch(
        match.part, match.letter, match.status, state, word, why(match), (*pressed, *features),
        _range(match.interference), "" if match.press_in_n is None else f"{match.press_in_n / 1000:.1f}",
        _resize(match),
        tuple(_warning(one.code, one.part, one.place.location if one.place else None) for one in match.warnings),
        (match.part, match.letter) in by,
    )  # fmt: skip


def why(match: InterfaceMatch) -> str:
    """What stands in the way, in a line."""
    if match.refused_by:
        return "its technology allows no " + " and no ".join(match.refused_by)
    failing = [FEATURES[one.feature].lower() for one in match.features if one.state is FeatureState.FAILS]
    parts = []
    if failing:
        parts.append(f"fails: {', '.join(failing)}")
    if match.missing:
        parts.append(f"not known: {', '.join(map(missing_words, match.missing))}")
    return "; ".join(parts) or "every feature is within its limit"


def missing_words(fact: str) -> str:
    """A missing fact in words.

    >>> missing_words("component.bore"), missing_words("asked.retention")
    ("the joint's bore", 'the retention asked')
    """
    owner, _, name = fact.partition(".")
    what = SIZES.get(name, name.replace("_", " "))
    return {"component": f"the joint's {what}", "revision": f"the part's {what}"}.get(owner, f"the {what} asked")


def feature_view(feature: Feature, revision: RevisionInterface, sizes: Mapping[str, Interval]) -> DrawnFeature:
    state, word = STATES[feature.state]
    return DrawnFeature(
        FEATURES[feature.feature], state, word, _drawn(feature, revision, sizes), figure(feature.value, feature.unit),
        figure(feature.limit, feature.unit), figure(feature.margin, feature.unit, signed=True),
        _UNITS.get(feature.unit, feature.unit), tuple(map(missing_words, feature.missing)),
    )  # fmt: skip


def figure(value: float | None, unit: str, *, signed: bool = False) -> str:
    """A figure to the last place that means something: mm to the micrometre, N and MPa whole."""
    if value is None:
        return ""
    places = {"mm": 3, "N": 0, "MPa": 0, "um": 1, "deg": 1, "1": 4}[unit]
    return f"{value:{'+' if signed else ''},.{places}f}".replace(",", "\u2009").replace("-", "\u2212")


def size_lines(known: Sequence[KnownSize]) -> list[dict[str, object]]:
    """The joint's sizes, stated and measured, as lines of a table."""
    lines = []
    for size in known:
        sample, measured = size.sample, size.measured
        line: dict[str, object] = {
            "name": SIZES[size.feature], "source": size.source, "interval": _range(size.interval),
            "bands": bands([Band("", size.interval.low, size.interval.high)]) if size.interval else None,
        }  # fmt: skip
        if sample is not None:
            line |= {
                "mean": f"{sample.mean_mm:.3f}",
                "samples": sample.pieces,
                "uncertainty": f"{sample.uncertainty_mm:.4f}",
                "spread": "" if measured is None else f"{measured.spread_mm:.4f}",
                "factor": "" if measured is None else f"{measured.factor:.2f}",
                "pooled": measured is not None and measured.pooled,
            }
        lines.append(line)
    return lines


def _drawn(feature: Feature, revision: RevisionInterface, sizes: Mapping[str, Interval]) -> Bands | None:
    if feature.feature in _PAIRS:
        seat, own, second = _PAIRS[feature.feature]
        body = None if revision.body_length_mm is None else Interval(revision.body_length_mm, revision.body_length_mm)
        other = {"sleeve": revision.sleeve, "hole": revision.hole, "body": body}[own]
        mine = sizes.get(seat)
        if mine is None or other is None:
            return None
        return bands(
            [Band(SIZES[seat], mine.low, mine.high), Band(f"part's {own}", other.low, other.high)], second=second
        )
    if feature.value is None:
        return None
    at_least = None if feature.limit is None else feature.sense is Sense.AT_LEAST
    return bands([Band("value", feature.value, feature.value)], limit=feature.limit, at_least=at_least)


def _press_row(
    match: InterfaceMatch, revision: RevisionInterface, sizes: Mapping[str, Interval]
) -> tuple[DrawnFeature, ...]:
    bore, outside = sizes.get("bore"), revision.outside
    if revision.seat != "pressed" or bore is None or outside is None or match.interference is None:
        return ()
    drawn = bands([Band("bore", bore.low, bore.high), Band("part", outside.low, outside.high)], second="above")
    least = match.interference.low
    state, word = STATES[FeatureState.OK] if least > 0 else STATES[FeatureState.FAILS]
    value = f"{figure(match.interference.low, 'mm')} to {figure(match.interference.high, 'mm')}"
    return (
        DrawnFeature("Interference", state, word, drawn, value, "above 0", figure(least, "mm", signed=True), "mm", ()),
    )


def _range(interval: Interval | None) -> str:
    if interval is None:
        return ""
    low, high = f"{interval.low:.3f}", f"{interval.high:.3f}"
    return low if low == high else f"{low} to {high}"


def _resize(match: InterfaceMatch) -> tuple[tuple[str, str], ...]:
    if match.resize is None:
        return ()
    lines = [
        ("outside, middle of its limits", _range(match.resize.outside)),
        ("sleeve, middle of its limits", _range(match.resize.sleeve)),
        ("hole", "" if match.resize.hole_mm is None else f"{match.resize.hole_mm:.2f}"),
    ]
    return tuple((what, value) for what, value in lines if value)


def _warning(code: str, part: str | None, place: str | None) -> str:
    return WARNINGS[code].format(part=part, place=place)
