"""What two joints of one arm do to each other."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import MatchWarning
from fitment.domain.interfaces import Place, Revision


@dataclass(frozen=True)
class Neighbour:
    """A released part approved at another joint of the same link: where, and how it can move.

    ``coaxial``: on the same end of the link. ``joints_on_link``: how many joints the link has.
    """

    place: Place
    part: str
    coaxial: bool
    joints_on_link: int
    allows_rotation: bool
    allows_tilt: bool


@dataclass(frozen=True)
class Warning:
    """A warning beside a match; place and part are None when it is about the sizes themselves."""

    code: MatchWarning
    place: Place | None = None
    part: str | None = None


def arm_warnings(revision: Revision, neighbours: Sequence[Neighbour]) -> list[Warning]:
    """Warnings of a revision together with parts at the other joints of its link.

    Parameters
    ----------
    revision : what its technology allows
    neighbours : parts at the other joints, without unit

    Returns
    -------
    ``binds``: neither may turn and they are not on one axis; ``arm_turns``: both turn and tilt and nothing
    else guides the link; ordered by place and part

    Notes
    -----
    ``arm_turns`` is a note: two ball joints on one link are usual.

    References
    ----------
    Mobility of a link between two joints (any text on mechanisms).

    Examples
    --------
    >>> stiff = Revision("P", "A", "released", "pressed", allows_rotation=False, allows_tilt=True)
    >>> other = Neighbour(Place("FX1", "tension_link.outer"), "Q", False, 2, False, True)
    >>> arm_warnings(stiff, [other])[0].code
    <MatchWarning.BINDS: 'binds'>
    """
    found = set()
    for other in neighbours:
        if not (revision.allows_rotation or other.allows_rotation or other.coaxial):
            found.add(Warning(MatchWarning.BINDS, other.place, other.part))
        both_turn = revision.allows_rotation and other.allows_rotation
        both_tilt = revision.allows_tilt and other.allows_tilt
        if both_turn and both_tilt and other.joints_on_link == 2:
            found.add(Warning(MatchWarning.ARM_TURNS, other.place, other.part))
    return sorted(found, key=lambda warning: (warning.place, warning.part, warning.code))
