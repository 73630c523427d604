"""The answer to a question from the facts: who may be meant, what fits, what to ask next. Pure."""

from dataclasses import dataclass

from fitment.description import Question
from fitment.errors import NoPossibleCar
from fitment.results import Basis, Internal, Reason, UnknownAxle, UnknownLocation, Verdict

from .basis import Evidence, weakest
from .case import Case
from .contradiction import fewest_contradicting
from .facts import Facts, Part, Place, Revision
from .listing import listed
from .places import PlaceView, look_at_places, unknown_axles, unknown_locations
from .possible_cars import Rooms
from .question import Asked, Asker, platform_question
from .verdict import Judgement, judge, reasons_of


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """The verdict on a part at a place (None: it is placed nowhere)."""

    part: Part
    place: Place | None
    verdict: Verdict
    named: Revision | None
    others: tuple[Revision, ...]
    basis: Basis | None
    reasons: frozenset[Reason]
    undecided_by: tuple[str, ...]
    internal: tuple[Internal, ...] | None
    components: frozenset[str]


@dataclass(frozen=True, slots=True)
class Answered:
    """All that is answered of one question; `undecided` is None where several platforms are left."""

    rooms: Rooms
    platforms: int
    asked: Asked | None
    undecided: int | None
    answers: tuple[PartAnswer, ...]
    unknown_locations: tuple[UnknownLocation, ...]
    unknown_axles: tuple[UnknownAxle, ...]


def possible_rooms(facts: Facts, question: Question) -> Rooms | None:
    """The possible cars, or None when there is none."""
    rooms = Rooms(facts, question.car)
    return rooms if len(rooms) else None


def answer(facts: Facts, question: Question, *, staff: bool, ask: bool = True) -> Answered:
    """The answer to a question; without `ask` no next question is worked out.

    Raises NoPossibleCar with the fewest facts among those of `facts` that no car meets, TooMuchWork.
    """
    rooms = possible_rooms(facts, question)
    if rooms is None:
        raise NoPossibleCar(fewest_contradicting(facts, question.car))
    platforms = {(room.variant.maker, room.variant.chassis) for room in rooms}
    if len(platforms) > 1:
        asked = platform_question(rooms, question.skipped) if ask else None
        return Answered(rooms, len(platforms), asked, None, (), (), ())
    views = look_at_places(rooms)
    found: list[PartAnswer] = []
    open_cases: list[Case] = []
    for part, place in listed(facts, question, views, staff=staff):
        if place is None:
            found.append(_placed_nowhere(part, staff=staff))
            continue
        case = Case(rooms, part, place, part.visible())
        one = _part_answer(case, views, staff=staff)
        if one.verdict is Verdict.DEPENDS:
            open_cases.append(case)
        found.append(one)
    asked = Asker(rooms, open_cases, views, question.skipped).next() if ask and open_cases else None
    return Answered(
        rooms,
        1,
        asked,
        len(open_cases),
        tuple(found),
        unknown_locations(views, question.ends, question.locations),
        unknown_axles(rooms, facts, question.ends, question.locations),
    )


def _part_answer(case: Case, views: dict[Place, PlaceView], *, staff: bool) -> PartAnswer:
    reasons = reasons_of(case)
    judgement = judge(reasons)
    named = case.revisions[judgement.named] if judgement.named is not None else None
    shown = reasons[judgement.named or 0] if reasons else {Reason.UNDECIDED}
    basis, components = _known_by(case, judgement)
    return PartAnswer(
        part=case.part,
        place=case.place,
        verdict=judgement.verdict,
        named=named,
        others=tuple(case.revisions[position] for position in judgement.others),
        basis=basis,
        reasons=frozenset(shown),
        undecided_by=_undecided_by(case, views) if judgement.verdict is Verdict.DEPENDS else (),
        internal=_internal(case, named) if staff else None,
        components=components,
    )


def _undecided_by(case: Case, views: dict[Place, PlaceView]) -> tuple[str, ...]:
    asker = Asker(case.rooms, [case], views)
    names = tuple(one.name for one in asker.that_matter())
    if names:
        return names
    asked = asker.next()
    return (asked.attribute.name,) if asked is not None else ()


def _known_by(case: Case, judgement: Judgement) -> tuple[Basis | None, frozenset[str]]:
    """The weakest basis over the possible cars that the named revision fits, and its components there."""
    if judgement.named is None:
        return None, frozenset()
    revision = case.revisions[judgement.named]
    found: set[Basis] = set()
    components: set[str] = set()
    for room in case.rooms:
        there = {
            row.component
            for row in case.rows(room)
            if row.component is not None and row.reasons[judgement.named] is Reason.APPROVED
        }
        components |= there
        for component in there:
            seat = room.seat_at[case.place]
            if seat is None:
                continue
            evidence = Evidence(
                case.rooms.facts, case.part, revision, component, seat.axle, case.place[1], room.variant,
                case.rooms.bits,
            )  # fmt: skip
            for row in case.rows(room, evidence.bits, evidence.cuts):
                if row.component == component and row.reasons[judgement.named] is Reason.APPROVED:
                    found.add(evidence.basis(row.cell.first, row.cell.mask))
    return weakest(found), frozenset(components)


def _internal(case: Case, named: Revision | None) -> tuple[Internal, ...]:
    """Every revision but the named one, newest first: the verdict it alone would have with its proposals."""
    found: list[Internal] = []
    for revision in case.part.newest_first():
        if revision is named:
            continue
        alone = Case(case.rooms, case.part, case.place, (revision,), proposals=True)
        verdict = judge(reasons_of(alone)).verdict
        found.append(Internal(revision.letter, revision.status, revision.held, verdict))
    return tuple(found)


def _placed_nowhere(part: Part, *, staff: bool) -> PartAnswer:
    internal = tuple(
        Internal(revision.letter, revision.status, revision.held, Verdict.NOT_KNOWN) for revision in part.newest_first()
    )
    return PartAnswer(
        part, None, Verdict.NOT_KNOWN, None, (), None, frozenset({Reason.UNDECIDED}), (),
        internal if staff else None, frozenset(),
    )  # fmt: skip
