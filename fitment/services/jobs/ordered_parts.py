"""Which revision of which part goes where: the parts of a job, settled against the possible cars."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import DECIDED, Role, Verdict
from fitment.domain.facts import Part, Place, Revision
from fitment.errors import BadParameters, DoesNotFit, Excluded, OneJointTwice, OnHold, PlaceVerdict, SeveralPlaces
from fitment.query.job_parameters import PartAsked
from fitment.rules.case import Case
from fitment.rules.outcome import judge
from fitment.rules.possible_cars import CarSpace


@dataclass(frozen=True, slots=True)
class Ordered:
    """A part asked for, its revision and place, the verdict, and the reasons of that revision by possible car."""

    asked: PartAsked
    part: Part
    revision: Revision
    place: Place
    verdict: Verdict
    case: Case


@dataclass(frozen=True, slots=True)
class _PlaceLookedAt:
    """A place looked at: the verdict there, and the revision that fits some possible car."""

    place: Place
    verdict: Verdict
    revision: Revision | None


def order_parts(space: CarSpace, asked: Sequence[PartAsked], viewer: Role) -> list[Ordered]:
    """Each part with its revision and place.

    Raises OnHold, DoesNotFit, SeveralPlaces, OneJointTwice, Excluded, and BadParameters for the same part at the
    same place twice.
    """
    ordered = [_order(space, one, viewer) for one in asked]
    taken: dict[Place, Ordered] = {}
    for one in ordered:
        other = taken.setdefault(one.place, one)
        if other is one:
            continue
        if other.part.code == one.part.code:
            raise BadParameters([("part", f"'{one.asked}' is the same part at the same place as '{other.asked}'")])
        raise OneJointTwice(str(one.asked), other.part.code, written(one.place))
    _refuse_excluded(ordered)
    return ordered


def written(place: Place) -> str:
    return f"{place[0]}.{place[1]}"


def excludes(one: Part, other: Part) -> bool:
    """Whether a rule of either part keeps them from one car."""
    return any(rule.rule == "excludes" and rule.other == other.code for rule in one.rules) or any(
        rule.rule == "excludes" and rule.other == one.code for rule in other.rules
    )


def _refuse_excluded(ordered: Sequence[Ordered]) -> None:
    for at, one in enumerate(ordered):
        for other in ordered[:at]:
            if excludes(one.part, other.part):
                raise Excluded(str(one.asked), other.part.code)


def _order(space: CarSpace, asked: PartAsked, viewer: Role) -> Ordered:
    part = space.facts.parts[asked.part]
    letter = next((revision for revision in part.revisions if revision.letter == asked.revision), None)
    if letter is not None and letter.held:
        _refuse_held(asked, letter, viewer)
    seen = [_look(space, part, place, letter) for place in _places(space, part, asked, letter)]
    fitting = [one for one in seen if one.revision is not None]
    if not fitting:
        _refuse_unfit(asked, seen)
    if len(fitting) > 1:
        raise SeveralPlaces(str(asked), [written(one.place) for one in fitting])
    (one,) = fitting
    assert one.revision is not None  # noqa: S101 - only such are left
    case = Case(space, part, one.place, (one.revision,))
    return Ordered(asked, part, one.revision, one.place, one.verdict, case)


def _places(space: CarSpace, part: Part, asked: PartAsked, letter: Revision | None) -> list[Place]:
    """The place asked for, else all at which a revision that counts may fit."""
    if asked.end is not None and asked.location is not None:
        return [(asked.end, asked.location)]
    revisions = part.visible() if letter is None else (letter,)
    components = {
        component
        for revision in revisions
        for component, decisions in revision.decisions.items()
        if any(decision.decision in DECIDED for decision in decisions)
    }
    return sorted({place for component in components for place in space.facts.placements.get(component, ())})


def _look(space: CarSpace, part: Part, place: Place, letter: Revision | None) -> _PlaceLookedAt:
    revisions = part.visible() if letter is None else (letter,)
    judgement = judge(Case(space, part, place, revisions).reasons())
    named = None if judgement.named is None else revisions[judgement.named]
    return _PlaceLookedAt(place, judgement.verdict, named)


def _refuse_unfit(asked: PartAsked, seen: Sequence[_PlaceLookedAt]) -> None:
    """The verdict where there is one place, else those of all."""
    verdicts = {one.verdict for one in seen}
    verdict = verdicts.pop() if len(verdicts) == 1 else Verdict.NOT_KNOWN
    raise DoesNotFit(str(asked), verdict, [PlaceVerdict(written(one.place), one.verdict) for one in seen])


def _refuse_held(asked: PartAsked, revision: Revision, viewer: Role) -> None:
    holds = [hold for hold in revision.holds if not hold.batch_from and not hold.batch_to]
    raise OnHold(str(asked), revision.letter, [hold if viewer.is_staff else hold.without_cause() for hold in holds])
