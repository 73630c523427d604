"""Rotation and tilt: what the place asks against what revision and technology give."""

from dataclasses import replace

from catalog.codes import FeatureState, Sense
from fitment.domain.interfaces import Asked, Demands, Revision
from fitment.engineering.features import Feature, judged


def freedom_features(revision: Revision, demands: Demands) -> list[Feature]:
    """Rotation and tilt, each way.

    Parameters
    ----------
    revision : what it gives in degrees, and what its technology allows
    demands : what the places ask in degrees

    Returns
    -------
    ``rotation`` and ``tilt`` in degrees; ``refused`` where movement is asked that the technology does not
    allow

    Notes
    -----
    A joint that must move and cannot twists its arm until it breaks: no size cures that, so it is refused
    whatever the sizes say. A movement not allowed by the technology is 0 where the revision gives no figure.

    References
    ----------
    Definition of the project.

    Examples
    --------
    >>> from fitment.domain.interfaces import Demand, Place, demands_of
    >>> asked = demands_of([Demand(Place("FX1", "lower_arm.rear"), rotation_deg=15, tilt_deg=0)])
    >>> stiff = Revision("P", "A", "released", "pressed", allows_rotation=False, allows_tilt=True, tilt_deg=5)
    >>> [str(feature.state) for feature in freedom_features(stiff, asked)]
    ['refused', 'ok']
    """
    return [
        _freedom("rotation", revision.rotation_deg, revision.allows_rotation, demands.rotation),
        _freedom("tilt", revision.tilt_deg, revision.allows_tilt, demands.tilt),
    ]


def _freedom(name: str, given: float | None, allowed: bool, asked: Asked) -> Feature:
    if given is None and not allowed:
        given = 0.0
    missing = [f"revision.{name}"] if given is None else []
    if asked.unknown:
        missing.append(f"asked.{name}")
    feature = judged(name, "deg", Sense.AT_LEAST, given, asked.value, tuple(missing))
    if not allowed and asked.value is not None and asked.value > 0:
        return replace(feature, state=FeatureState.REFUSED, missing=())
    return feature
