"""Matches as they are drawn: the nearest first, feature by feature, each with its band and its margin. Pure."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from catalog.codes import CoverageState, FeatureState, MatchFeature, MatchVerdict, Seat, Sense
from fitment.domain.interfaces import RevisionInterface
from fitment.drawing.bands import Band, Bands, bands
from fitment.engineering.features import Feature
from fitment.engineering.known import KnownSize, MeasuredSize
from fitment.engineering.matching import InterfaceMatch
from fitment.engineering.tolerances import Interval
from fitment.text.engineering import (
    UNITS,
    figure,
    limits_of,
    match_note,
    match_reason,
    missing_fact,
    resize_lines,
    size_name,
)

# The sign of coverage that a verdict and a feature's state are drawn with.
_VERDICT_SIGNS = {
    MatchVerdict.DROPS_IN: CoverageState.CARRY_OVER,
    MatchVerdict.RESIZE: CoverageState.RESIZE,
    MatchVerdict.UNMEASURED: CoverageState.UNMEASURED,
    MatchVerdict.NEW_DESIGN: CoverageState.NEW_DESIGN,
}
_STATE_SIGNS = {
    FeatureState.OK: CoverageState.RELEASED,
    FeatureState.FAILS: CoverageState.NOT_OFFERED,
    FeatureState.UNMEASURED: CoverageState.UNMEASURED,
    FeatureState.REFUSED: CoverageState.NOT_OFFERED,
}


@dataclass(frozen=True, slots=True)
class DrawnFeature:
    name: str
    state: CoverageState
    word: str
    bands: Bands | None
    value: str
    limit: str
    margin: str
    unit: str
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MatchLine:
    """A match in a line: its sign, its verdict in a word and what stands in the way."""

    part: str
    letter: str
    status: str
    state: CoverageState
    word: str
    why: str


@dataclass(frozen=True, slots=True)
class DrawnMatch(MatchLine):
    """A match with all its features."""

    features: tuple[DrawnFeature, ...]
    press_in: str
    resize: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...]


def nearest_first(matches: Sequence[InterfaceMatch], by: Collection[tuple[str, str]]) -> list[InterfaceMatch]:
    """Those that the cell stands at, then by verdict, what fails, what is missing."""

    def far(match: InterfaceMatch) -> tuple[bool, int, int, int, str]:
        failing = sum(feature.state in (FeatureState.FAILS, FeatureState.REFUSED) for feature in match.features)
        near = (match.part, match.letter) in by
        return not near, match.verdict.rank, failing, len(match.missing), match.part

    return sorted(matches, key=far)


def match_line(match: InterfaceMatch) -> MatchLine:
    return MatchLine(
        match.part, match.letter, match.status, _VERDICT_SIGNS[match.verdict], match.verdict.word, match_reason(match)
    )


def match_view(match: InterfaceMatch, revision: RevisionInterface, sizes: Mapping[str, Interval]) -> DrawnMatch:
    """One match; `sizes` of the joint by feature."""
    line = match_line(match)
    features = [_feature(feature, revision, sizes) for feature in match.features]
    return DrawnMatch(
        *(line.part, line.letter, line.status, line.state, line.word, line.why),
        features=(*_interference(match, revision, sizes), *features),
        press_in="" if match.press_in_n is None else f"{match.press_in_n / 1000:.1f}",
        resize=tuple(resize_lines(match)),
        warnings=tuple(map(match_note, match.warnings)),
    )


def size_lines(known: Sequence[KnownSize]) -> list[dict[str, object]]:
    """The joint's sizes, stated and measured, as lines of a table."""
    lines = []
    for size in known:
        line: dict[str, object] = {
            "name": size.feature.word,
            "source": size.source,
            "interval": limits_of(size.interval),
        }
        if isinstance(size, MeasuredSize):
            line |= {
                "mean": f"{size.mean_mm:.3f}",
                "samples": size.samples,
                "uncertainty": f"{size.uncertainty_mm:.4f}",
                "spread": "" if size.factor is None else f"{size.spread_mm:.4f}",
                "pooled": size.pooled,
            }
        lines.append(line)
    return lines


def _feature(feature: Feature, revision: RevisionInterface, sizes: Mapping[str, Interval]) -> DrawnFeature:
    return DrawnFeature(
        feature.feature.word,
        _STATE_SIGNS[feature.state],
        feature.state.word,
        _bands(feature, revision, sizes),
        figure(feature.value, feature.unit),
        figure(feature.limit, feature.unit),
        figure(feature.margin, feature.unit, signed=True),
        UNITS.get(feature.unit, feature.unit),
        tuple(map(missing_fact, feature.missing)),
    )


def _bands(feature: Feature, revision: RevisionInterface, sizes: Mapping[str, Interval]) -> Bands | None:
    """The two sizes that a feature is about, or its figure against its limit."""
    body = revision.body_length_mm
    # Of the joint, of the part, and where the part's belongs.
    pairs = {
        MatchFeature.CLAMP_LEAST: ("clevis_gap", "sleeve", revision.sleeve, "below"),
        MatchFeature.BOLT_LEAST: ("bolt", "hole", revision.hole, "above"),
        MatchFeature.BODY_LENGTH: ("seat_length", "body", None if body is None else Interval(body, body), "below"),
    }
    if feature.feature in pairs:
        seat, own, size, second = pairs[feature.feature]
        return _pair(size_name(seat), sizes.get(seat), f"part's {own}", size, second)
    if feature.value is None:
        return None
    at_least = None if feature.limit is None else feature.sense is Sense.AT_LEAST
    return bands([Band("value", feature.value, feature.value)], limit=feature.limit, at_least=at_least)


def _pair(seat: str, mine: Interval | None, own: str, other: Interval | None, second: str) -> Bands | None:
    if mine is None or other is None:
        return None
    return bands([Band(seat, mine.low, mine.high), Band(own, other.low, other.high)], second=second)


def _interference(
    match: InterfaceMatch, revision: RevisionInterface, sizes: Mapping[str, Interval]
) -> list[DrawnFeature]:
    """Bore and outside over each other, before the features that rest on them."""
    drawn = _pair("bore", sizes.get("bore"), "part", revision.outside, "above")
    if revision.seat != Seat.PRESSED or drawn is None or match.interference is None:
        return []
    least, greatest = match.interference.low, match.interference.high
    state = FeatureState.OK if least > 0 else FeatureState.FAILS
    value = f"{figure(least, 'mm')} to {figure(greatest, 'mm')}"
    margin = figure(least, "mm", signed=True)
    return [DrawnFeature("Interference", _STATE_SIGNS[state], state.word, drawn, value, "above 0", margin, "mm")]
