"""`components/{component}/matches/` as JSON; sizes in mm, forces in N, stresses in MPa."""

from collections.abc import Mapping
from typing import Any

from api.shapes import CATALOGUE, NUMBER, TEXT, TRUTH, WHOLE, Schema, listed, maybe, one_of, pair, shape
from catalog.codes import FeatureState, MatchVerdict, MatchWarning, Sense
from fitment.domain.interfaces import AxlePlace, GreatestDemand
from fitment.engineering.features import Feature
from fitment.engineering.known import KnownSize
from fitment.engineering.matching import InterfaceMatch, MatchNote, Resize
from fitment.engineering.tolerances import Interval
from fitment.services.coverage.matches import ComponentMatches

PLACE = shape(axle=TEXT, location=TEXT)
ASKED = shape(value=maybe(NUMBER), place=maybe(PLACE), unknown=TRUTH)
STATED = shape(feature=TEXT, source=one_of("stated"), low_mm=NUMBER, high_mm=NUMBER)
MEASURED = shape(
    feature=TEXT, source=one_of("measured"), low_mm=maybe(NUMBER), high_mm=maybe(NUMBER), mean_mm=NUMBER,
    samples=WHOLE, spread_mm=maybe(NUMBER), pooled=TRUTH, degrees_of_freedom=WHOLE, factor=maybe(NUMBER),
    uncertainty_mm=NUMBER,
)  # fmt: skip
FEATURE = shape(
    feature=TEXT, value=maybe(NUMBER), limit=maybe(NUMBER), sense=one_of(*Sense), margin=maybe(NUMBER),
    unit=one_of("N", "MPa", "um", "mm", "1", "deg"), state=one_of(*FeatureState), missing=listed(TEXT),
)  # fmt: skip
MATCH = shape(
    part=TEXT, revision=TEXT, status=TEXT, verdict=one_of(*MatchVerdict), refused_by=listed(TEXT),
    missing=listed(TEXT), features=listed(FEATURE), interference_mm=maybe(pair(NUMBER)), press_in_n=maybe(NUMBER),
    resize=maybe(
        shape(outside_mm=maybe(pair(NUMBER)), sleeve_mm=maybe(pair(NUMBER)), hole_mm=maybe(NUMBER))
    ),
    warnings=listed(
        shape(code=one_of(*MatchWarning), axle=maybe(TEXT), location=maybe(TEXT), part=maybe(TEXT))
    ),
)  # fmt: skip
MATCHES: Schema = shape(
    catalogue=CATALOGUE,
    component=TEXT,
    place=maybe(PLACE),
    asked=shape(rotation_deg=ASKED, tilt_deg=ASKED, retention_n=ASKED),
    sizes=listed({"oneOf": [STATED, MEASURED]}),
    matches=listed(MATCH),
)


def matches_body(found: ComponentMatches) -> Mapping[str, Any]:
    """The matches of a component, without `catalogue`."""
    return {
        "component": found.component,
        "place": _place(found.place),
        "asked": {
            "rotation_deg": _asked(found.demands.rotation),
            "tilt_deg": _asked(found.demands.tilt),
            "retention_n": _asked(found.demands.retention),
        },
        "sizes": [_size(size) for size in found.sizes],
        "matches": [_match(match) for match in found.matches],
    }


def _place(place: AxlePlace | None) -> dict[str, str] | None:
    return None if place is None else {"axle": place.axle, "location": place.location}


def _asked(asked: GreatestDemand) -> dict[str, Any]:
    return {"value": asked.value, "place": _place(asked.place), "unknown": asked.unknown}


def _pair(interval: Interval | None) -> list[float] | None:
    return None if interval is None else [interval.low, interval.high]


def _size(size: KnownSize) -> dict[str, Any]:
    low, high = _pair(size.interval) or (None, None)
    body: dict[str, Any] = {"feature": size.feature, "source": size.source, "low_mm": low, "high_mm": high}
    if size.sample is not None:
        sample, measured = size.sample, size.measured
        body |= {
            "mean_mm": sample.mean_mm,
            "samples": sample.pieces,
            "spread_mm": sample.spread_mm if measured is None else measured.spread_mm,
            "pooled": measured is not None and measured.pooled,
            "degrees_of_freedom": sample.degrees_of_freedom if measured is None else measured.degrees_of_freedom,
            "factor": None if measured is None else measured.factor,
            "uncertainty_mm": sample.uncertainty_mm,
        }
    return body


def _match(match: InterfaceMatch) -> dict[str, Any]:
    return {
        "part": match.part,
        "revision": match.letter,
        "status": match.status,
        "verdict": match.verdict,
        "refused_by": list(match.refused_by),
        "missing": list(match.missing),
        "features": [_feature(feature) for feature in match.features],
        "interference_mm": _pair(match.interference),
        "press_in_n": match.press_in_n,
        "resize": _resize(match.resize),
        "warnings": [_warning(warning) for warning in match.warnings],
    }


def _feature(feature: Feature) -> dict[str, Any]:
    return {
        "feature": feature.feature,
        "value": feature.value,
        "limit": feature.limit,
        "sense": feature.sense,
        "margin": feature.margin,
        "unit": feature.unit,
        "state": feature.state,
        "missing": list(feature.missing),
    }


def _resize(resize: Resize | None) -> dict[str, Any] | None:
    if resize is None:
        return None
    return {"outside_mm": _pair(resize.outside), "sleeve_mm": _pair(resize.sleeve), "hole_mm": resize.hole_mm}


def _warning(warning: MatchNote) -> dict[str, Any]:
    place = warning.place
    return {
        "code": warning.code,
        "axle": None if place is None else place.axle,
        "location": None if place is None else place.location,
        "part": warning.part,
    }
