"""Which revision of which part goes where: the parts of a job, settled against the possible cars."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.codes import Role, Verdict
from fitment.domain.facts import Part, Place, Revision
from fitment.errors import BadParameters, JobRefused
from fitment.query.job_parameters import PartAsked
from fitment.rules.case import Case
from fitment.rules.listing import DECIDED
from fitment.rules.possible_cars import Rooms
from fitment.rules.verdict import judge, reasons_of
from fitment.text.fit import verdict_words


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
class _Seen:
    """A place looked at: the verdict there, and the revision that fits some possible car."""

    place: Place
    verdict: Verdict
    revision: Revision | None


def order_parts(rooms: Rooms, asked: Sequence[PartAsked], viewer: Role) -> list[Ordered]:
    """Each part with its revision and place.

    Raises JobRefused (a part that fits no possible car, several places, a hold, two parts at one joint, a pair that
    excludes each other) and BadParameters (the same part at the same place twice).
    """
    ordered = [_order(rooms, one, viewer) for one in asked]
    taken: dict[Place, Ordered] = {}
    for one in ordered:
        other = taken.setdefault(one.place, one)
        if other is one:
            continue
        if other.part.code == one.part.code:
            raise BadParameters([("part", f"'{one.asked}' is the same part at the same place as '{other.asked}'")])
        raise JobRefused(
            "one_joint_twice",
            f"{other.part.code} and {one.part.code} would both sit at {written(one.place)}; choose one",
            errors=[("part", str(one.asked))],
        )
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
                raise JobRefused(
                    "excluded",
                    f"{other.part.code} and {one.part.code} are not fitted to one car",
                    errors=[("part", str(one.asked))],
                )


def _order(rooms: Rooms, asked: PartAsked, viewer: Role) -> Ordered:
    part = rooms.facts.parts[asked.part]
    letter = next((revision for revision in part.revisions if revision.letter == asked.revision), None)
    if letter is not None and letter.held:
        _refuse_held(asked, letter, viewer)
    seen = [_look(rooms, part, place, letter) for place in _places(rooms, part, asked, letter)]
    fitting = [one for one in seen if one.revision is not None]
    if not fitting:
        _refuse_unfit(asked, seen)
    if len(fitting) > 1:
        places = [written(one.place) for one in fitting]
        raise JobRefused(
            "several_places",
            f"{asked.part} fits several places of this car; say which",
            errors=[("part", f"write {asked}:{place}") for place in places],
            places=places,
        )
    (one,) = fitting
    assert one.revision is not None  # noqa: S101 - only such are left
    case = Case(rooms, part, one.place, (one.revision,))
    return Ordered(asked, part, one.revision, one.place, one.verdict, case)


def _places(rooms: Rooms, part: Part, asked: PartAsked, letter: Revision | None) -> list[Place]:
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
    return sorted({place for component in components for place in rooms.facts.placements.get(component, ())})


def _look(rooms: Rooms, part: Part, place: Place, letter: Revision | None) -> _Seen:
    revisions = part.visible() if letter is None else (letter,)
    judgement = judge(reasons_of(Case(rooms, part, place, revisions)))
    named = None if judgement.named is None else revisions[judgement.named]
    return _Seen(place, judgement.verdict, named)


def _refuse_unfit(asked: PartAsked, seen: Sequence[_Seen]) -> None:
    """The verdict where there is one place, else those of all."""
    verdicts = {one.verdict for one in seen}
    verdict = verdicts.pop() if len(verdicts) == 1 else Verdict.NOT_KNOWN
    what = f"{asked.part}-{asked.revision}" if asked.revision else asked.part
    raise JobRefused(
        "does_not_fit",
        f"{what} fits none of these cars: {verdict_words(verdict).lower()}",
        errors=[("part", f"{asked}: {verdict_words(one.verdict).lower()} at {written(one.place)}") for one in seen]
        or [("part", f"{asked}: {verdict_words(verdict).lower()}")],
        verdict=verdict.value,
        places=[{"place": written(one.place), "verdict": one.verdict.value} for one in seen],
    )


def _refuse_held(asked: PartAsked, revision: Revision, viewer: Role) -> None:
    holds = [hold for hold in revision.holds if not hold.batch_from and not hold.batch_to]
    look_for = "; ".join(hold.look_for for hold in holds)
    said = [{"look_for": hold.look_for, "opened_on": hold.opened_on.isoformat()} for hold in holds]
    if viewer.is_staff:
        said = [{**row, "cause": hold.cause or ""} for row, hold in zip(said, holds, strict=True)]
    raise JobRefused(
        "on_hold",
        f"{asked.part}-{revision.letter} is on hold; look for: {look_for}",
        errors=[("part", f"{asked}: on hold")],
        holds=said,
    )
