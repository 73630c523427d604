"""Does a revision work in a component's interface: one against one with its reasons, and many against many."""

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import Annotated

from catalog.codes import FeatureState, MatchFeature, MatchVerdict, MatchWarning, Seat
from fitment.answers.contract import INTERNAL, Named, member
from fitment.domain.interfaces import AxlePlace, ComponentInterface, Demand, Demands, RevisionInterface, demands_of
from fitment.engineering.features import BY_HOLE, BY_OUTSIDE, BY_SLEEVE, CURABLE, Feature
from fitment.engineering.pressed import press_in_force, press_of
from fitment.engineering.resize import outside_range, serving_hole, sleeve_range
from fitment.engineering.seats import judged_features
from fitment.engineering.tolerances import PAIR, Interval

RevisionKey = tuple[str, str]
"""Part and letter."""


@dataclass(frozen=True)
class Neighbour:
    """A released part approved at another joint of the same link: where, and how it can move.

    ``coaxial``: on the same end of the link. ``joints_on_link``: how many joints the link has.
    """

    place: AxlePlace
    part: str
    coaxial: bool
    joints_on_link: int
    allows_rotation: bool
    allows_tilt: bool


@dataclass(frozen=True)
class MatchNote:
    """A warning beside a match; place and part are None when it is about the sizes themselves."""

    code: MatchWarning
    place: Annotated[AxlePlace | None, INTERNAL] = None
    part: str | None = None

    @member
    def axle(self) -> str | None:
        return None if self.place is None else self.place.axle

    @member
    def location(self) -> str | None:
        return None if self.place is None else self.place.location


@dataclass(frozen=True)
class Resize:
    """What to machine: ranges of the middle of outside and sleeve, the hole, in mm; None: as it is."""

    outside: Annotated[Interval | None, Named("outside_mm"), PAIR] = None
    sleeve: Annotated[Interval | None, Named("sleeve_mm"), PAIR] = None
    hole_mm: float | None = None

    def cures(self, failing: AbstractSet[MatchFeature]) -> bool:
        """Whether there is a size for everything of these features that machining may cure."""
        needed = ((BY_OUTSIDE, self.outside), (BY_SLEEVE, self.sleeve), (BY_HOLE, self.hole_mm))
        return all(remedy is not None for group, remedy in needed if failing & group)


@dataclass(frozen=True)
class InterfaceMatch:
    """One revision against one component: verdict, features, what refuses it, what is missing, warnings."""

    part: str
    letter: Annotated[str, Named("revision")]
    status: str
    verdict: MatchVerdict
    refused_by: tuple[str, ...]
    missing: tuple[str, ...]
    features: tuple[Feature, ...]
    interference: Annotated[Interval | None, Named("interference_mm"), PAIR]
    press_in_n: float | None
    resize: Resize | None
    warnings: tuple[MatchNote, ...]


def match(
    component: ComponentInterface, revision: RevisionInterface, demands: Demands, neighbours: Sequence[Neighbour] = ()
) -> InterfaceMatch:
    """One revision against one component.

    Args:
        component, revision: the two sides, sizes in mm
        demands: what the places ask, degrees and N
        neighbours: released parts approved at the other joints of its links
    Returns: the match: margins by feature in N, MPa, um, mm or degrees; interference and ranges in mm, press-in force
        in N
    Notes: A refusal or a failing feature that no machining cures: ``new_design``; else anything not known:
        ``unmeasured``; else anything failing: ``resize``; else ``drops_in``. An estimate for comparing designs, no
        proof of strength.
    References: DIN 7190-1, Lame, ISO 286-1, ISO 16269-6 through the features.

    >>> clevis = ComponentInterface("C", clevis_gap=Interval(50.0, 50.2), bolt=Interval(12.0, 12.0))
    >>> part = RevisionInterface("P", "A", "released", "clamped", True, True, sleeve=Interval(49.8, 49.9),
    ...                          hole=Interval(12.1, 12.2), rotation_deg=20, tilt_deg=10)
    >>> asked = demands_of([Demand(AxlePlace("FX1", "lower_arm.rear"), 15, 5, None, None)])
    >>> match(clevis, part, asked).verdict
    <MatchVerdict.DROPS_IN: 'drops_in'>
    """
    features = judged_features(component, revision, demands)
    refused = tuple(feature.feature for feature in features if feature.state is FeatureState.REFUSED)
    failing = {feature.feature for feature in features if feature.state is FeatureState.FAILS}
    cure = Resize(
        outside=outside_range(component, revision, demands) if failing & BY_OUTSIDE else None,
        sleeve=sleeve_range(component, revision) if failing & BY_SLEEVE else None,
        hole_mm=serving_hole(component, revision) if failing & BY_HOLE else None,
    )
    verdict = MatchVerdict.DROPS_IN
    if refused or failing - CURABLE or not cure.cures(failing):
        verdict = MatchVerdict.NEW_DESIGN
    elif any(feature.state is FeatureState.UNMEASURED for feature in features):
        verdict = MatchVerdict.UNMEASURED
    elif failing:
        verdict = MatchVerdict.RESIZE
    pressed = revision.seat == Seat.PRESSED
    press = press_of(component, revision)[0] if pressed else None
    outside, bore = revision.outside, component.bore
    outside_stated = (MatchNote(MatchWarning.MEASURED_OUTSIDE_STATED) for _ in component.outside_stated[:1])
    return InterfaceMatch(
        part=revision.part,
        letter=revision.letter,
        status=revision.status,
        verdict=verdict,
        refused_by=refused,
        missing=tuple(dict.fromkeys(name for feature in features for name in feature.missing)),
        features=tuple(features),
        interference=outside.minus(bore) if pressed and outside and bore else None,
        press_in_n=None if press is None else press_in_force(press),
        resize=cure if verdict is MatchVerdict.RESIZE else None,
        warnings=(*outside_stated, *_arm_notes(revision, neighbours)),
    )


def _arm_notes(revision: RevisionInterface, neighbours: Sequence[Neighbour]) -> list[MatchNote]:
    """``binds``: neither may turn and they are not on one axis; ``arm_turns``: both turn and tilt, nothing else guides.

    The second is a note: two ball joints on one link are usual.
    """
    found = set()
    for other in neighbours:
        if not (revision.allows_rotation or other.allows_rotation or other.coaxial):
            found.add(MatchNote(MatchWarning.BINDS, other.place, other.part))
        both_turn = revision.allows_rotation and other.allows_rotation
        both_tilt = revision.allows_tilt and other.allows_tilt
        if both_turn and both_tilt and other.joints_on_link == 2:
            found.add(MatchNote(MatchWarning.ARM_TURNS, other.place, other.part))
    return sorted(found, key=lambda note: (note.place, note.part, note.code))


class Matching:
    """The verdict of any revision at any place of any component, each distinct question computed once.

    ``components`` by code, ``revisions`` by part and letter, ``demands`` by place; none of them changes. A place
    without a row asks what is not known.
    """

    def __init__(
        self,
        components: Mapping[str, ComponentInterface],
        revisions: Mapping[RevisionKey, RevisionInterface],
        demands: Mapping[AxlePlace, Demand],
    ) -> None:
        self.components, self.revisions, self.demands = components, revisions, demands
        self._verdicts: dict[tuple[int, int, int], MatchVerdict] = {}
        self._by_verdict: dict[tuple[int, int], dict[MatchVerdict, list[RevisionKey]]] = {}
        self._numbers: dict[object, int] = {}
        self._equal: dict[object, int] = {}

    def verdict(self, revision: RevisionKey, component: str, place: AxlePlace) -> MatchVerdict:
        """The verdict of one revision on one component at one place; both must be known."""
        key = (self._revision(revision), self._component(component), self._place(place))
        found = self._verdicts.get(key)
        if found is None:
            demands = demands_of([self._demand(place)])
            found = match(self.components[component], self.revisions[revision], demands).verdict
            self._verdicts[key] = found
        return found

    def by_verdict(self, component: str, place: AxlePlace) -> Mapping[MatchVerdict, Sequence[RevisionKey]]:
        """All revisions, in their order, by their verdict on one component at one place."""
        key = (self._component(component), self._place(place))
        found = self._by_verdict.get(key)
        if found is None:
            found = self._by_verdict[key] = {verdict: [] for verdict in MatchVerdict}
            for revision in self.revisions:
                found[self.verdict(revision, component, place)].append(revision)
        return found

    def __contains__(self, key: object) -> bool:
        """Whether ``(part, letter, component, axle, location)`` drops in."""
        if not isinstance(key, tuple):
            return False
        part, letter, component, axle, location = key
        if (part, letter) not in self.revisions or component not in self.components:
            return False
        return self.verdict((part, letter), component, AxlePlace(axle, location)) is MatchVerdict.DROPS_IN

    def _demand(self, place: AxlePlace) -> Demand:
        return self.demands.get(place) or Demand(place)

    # Numbers that all equal interfaces share, whatever they are called; a hash of a whole interface is slow.

    def _component(self, code: str) -> int:
        return self._numbers.get(code) or self._number(code, replace(self.components[code], code="", outside_stated=()))

    def _revision(self, key: RevisionKey) -> int:
        return self._numbers.get(key) or self._number(
            key, replace(self.revisions[key], part="", letter="", status="", held=False)
        )

    def _place(self, place: AxlePlace) -> int:
        return self._numbers.get(place) or self._number(place, replace(self._demand(place), place=AxlePlace("", "")))

    def _number(self, key: object, nameless: object) -> int:
        number = self._numbers[key] = self._equal.setdefault(nameless, len(self._equal) + 1)
        return number
