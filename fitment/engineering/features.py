"""One judged feature: a figure against a closed limit."""

from dataclasses import dataclass
from typing import Literal

from catalog.codes import FeatureState, MatchFeature, Sense
from fitment.engineering.constants import ON_THE_LIMIT

BY_OUTSIDE = frozenset({MatchFeature.HOLD, MatchFeature.EYE_STRESS, MatchFeature.BODY_STRESS, MatchFeature.CLOSURE})
BY_SLEEVE = frozenset({MatchFeature.CLAMP_LEAST, MatchFeature.CLAMP_GREATEST})
BY_HOLE = frozenset({MatchFeature.BOLT_LEAST, MatchFeature.BOLT_GREATEST})
CURABLE = BY_OUTSIDE | BY_SLEEVE | BY_HOLE
"""What machining a blank can cure, by the dimension that it changes."""


Unit = Literal["N", "MPa", "um", "mm", "1", "deg"]


@dataclass(frozen=True)
class Feature:
    """One feature of an interface: value, limit and margin in ``unit``; ``missing``: what keeps it ``unmeasured``."""

    feature: MatchFeature
    unit: Unit
    sense: Sense
    state: FeatureState
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    missing: tuple[str, ...] = ()


def judged(
    feature: MatchFeature,
    unit: Unit,
    sense: Sense,
    value: float | None,
    limit: float | None,
    missing: tuple[str, ...] = (),
) -> Feature:
    """A feature's figure against its limit.

    Args:
        feature: which one
        unit: unit of value, limit and margin
        sense: whether the value must be at least or at most the limit
        value, limit: in ``unit``; None when not known
        missing: facts that were needed and are not known
    Returns: the feature: ``fails`` when the known figures already fail, else ``unmeasured`` while anything is missing,
        else ``ok``; margin in ``unit``, negative when it fails; only what is ``unmeasured`` names facts
    Notes: Limits are closed: a value on its limit is within it; differences below 1e-9 are rounding.
    References: ISO 286-1 (limits of size belong to the size).

    >>> judged(MatchFeature.CLAMP_GREATEST, "mm", Sense.AT_MOST, 50.6 - 50.1, 0.5).state
    <FeatureState.OK: 'ok'>
    >>> judged(MatchFeature.HOLD, "N", Sense.AT_LEAST, 4200.0, 5000.0, ("asked.retention",)).state
    <FeatureState.FAILS: 'fails'>
    """
    margin = None
    if value is not None and limit is not None:
        margin = value - limit if sense is Sense.AT_LEAST else limit - value
        if abs(margin) <= ON_THE_LIMIT.value * max(1.0, abs(limit)):
            margin = 0.0
    if margin is not None and margin < 0:
        state = FeatureState.FAILS
    elif missing or margin is None:
        state = FeatureState.UNMEASURED
    else:
        state = FeatureState.OK
    return Feature(
        feature, unit, sense, state, value, limit, margin, missing if state is FeatureState.UNMEASURED else ()
    )
