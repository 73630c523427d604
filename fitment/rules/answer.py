"""The answer to a question from the facts: who may be meant, what fits, what to ask next. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass

from catalog.codes import Basis, Reason, Verdict
from fitment.answers.fit import Internal, UnknownAxle, UnknownLocation
from fitment.domain.description import Question
from fitment.domain.facts import Decision, Part, Place, Revision
from fitment.rules.basis import Evidence, weakest
from fitment.rules.case import Case
from fitment.rules.listing import listed
from fitment.rules.places import PlaceOccupants, place_occupants, unknown_axles, unknown_locations
from fitment.rules.possible_cars import CarSpace
from fitment.rules.question import ChosenQuestion, QuestionChooser, platform_question
from fitment.rules.verdict import judge, reasons_of


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """The verdict on a part at a place (None: it is placed nowhere).

    `shown` is the revision whose reasons these are: the named one, else the newest visible. `carried_from` are the
    letters that the named one is carried over from, where that is the basis. `decisions` stand
    behind its reasons on some possible car; `components` are those it fits there.
    """

    part: Part
    place: Place | None
    verdict: Verdict
    named: Revision | None
    others: tuple[Revision, ...]
    basis: Basis | None
    carried_from: tuple[str, ...]
    reasons: frozenset[Reason]
    undecided_by: tuple[str, ...]
    internal: tuple[Internal, ...] | None
    decisions: tuple[Decision, ...]
    components: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FitResult:
    """All that is answered of one question; `undecided` is None where several platforms are left."""

    space: CarSpace
    platforms: int
    asked: ChosenQuestion | None
    undecided: int | None
    answers: tuple[PartAnswer, ...]
    unknown_locations: tuple[UnknownLocation, ...]
    unknown_axles: tuple[UnknownAxle, ...]


def answer(space: CarSpace, question: Question, *, staff: bool, ask: bool = True) -> FitResult:
    """The answer to a question over its possible cars, of which there must be one.

    Without `ask` no next question is worked out. Raises TooMuchWork.
    """
    facts = space.facts
    platforms = {(region.variant.maker, region.variant.chassis) for region in space}
    if len(platforms) > 1:
        asked = platform_question(space, question.skipped) if ask else None
        return FitResult(space, len(platforms), asked, None, (), (), ())
    occupants = place_occupants(space)
    found: list[PartAnswer] = []
    open_cases: list[Case] = []
    for part, place in listed(facts, question, occupants, staff=staff):
        if place is None:
            found.append(_placed_nowhere(part, staff=staff))
            continue
        case = Case(space, part, place, part.visible())
        one = _part_answer(case, occupants, staff=staff)
        if one.verdict is Verdict.DEPENDS:
            open_cases.append(case)
        found.append(one)
    asked = QuestionChooser(space, open_cases, occupants, question.skipped).next() if ask and open_cases else None
    return FitResult(
        space,
        1,
        asked,
        len(open_cases),
        tuple(found),
        unknown_locations(occupants, question.ends, question.locations),
        unknown_axles(space, facts, question.ends, question.locations),
    )


def _part_answer(case: Case, occupants: dict[Place, PlaceOccupants], *, staff: bool) -> PartAnswer:
    reasons = reasons_of(case)
    judgement = judge(reasons)
    named = case.revisions[judgement.named] if judgement.named is not None else None
    position = judgement.named or 0
    basis = None if judgement.named is None else known_by(case, judgement.named)
    return PartAnswer(
        part=case.part,
        place=case.place,
        verdict=judgement.verdict,
        named=named,
        others=tuple(case.revisions[position] for position in judgement.others),
        basis=basis,
        carried_from=_carried_from(case, position) if basis is Basis.CARRIED_OVER else (),
        reasons=frozenset(reasons[position] if reasons else {Reason.UNDECIDED}),
        undecided_by=_undecided_by(case, occupants) if judgement.verdict is Verdict.DEPENDS else (),
        internal=_internal(case, named) if staff else None,
        decisions=_behind(case, position) if reasons else (),
        components=_fitting(case, judgement.named) if judgement.named is not None else (),
    )


def _undecided_by(case: Case, occupants: dict[Place, PlaceOccupants]) -> tuple[str, ...]:
    asker = QuestionChooser(case.space, [case], occupants)
    names = tuple(one.name for one in asker.relevant())
    if names:
        return names
    asked = asker.next()
    return (asked.attribute.name,) if asked is not None else ()


def known_by(case: Case, named: int) -> Basis | None:
    """The weakest basis over the possible cars that the named revision fits."""
    return weakest({evidence.basis(day, mask) for evidence, day, mask in _evidence(case, named)})


def _carried_from(case: Case, named: int) -> tuple[str, ...]:
    """The letters of earlier revisions that the named one is carried over from on some possible car, newest first."""
    carried = {
        evidence.carried_from(day, mask)
        for evidence, day, mask in _evidence(case, named)
        if evidence.basis(day, mask) is Basis.CARRIED_OVER
    }
    return tuple(revision.letter for revision in case.part.newest_first() if revision.letter in carried)


def _evidence(case: Case, named: int) -> Iterator[tuple[Evidence, int, int]]:
    """What stands behind the named revision on the possible cars that it fits, each with a day and options."""
    revision = case.revisions[named]
    for region in case.space:
        rows = [row for row in case.rows(region) if row.reasons[named] is Reason.APPROVED]
        for component in {row.component for row in rows if row.component is not None}:
            evidence = case.evidence(region, revision, component)
            for row in case.rows(region, evidence.bits, evidence.cuts):
                if row.component == component and row.reasons[named] is Reason.APPROVED:
                    yield evidence, row.cell.first, row.cell.mask


def _fitting(case: Case, named: int) -> tuple[str, ...]:
    """The components that the named revision fits on some possible car."""
    rows = (row for region in case.space for row in case.rows(region) if row.reasons[named] is Reason.APPROVED)
    return tuple(sorted({row.component for row in rows if row.component is not None}))


def _behind(case: Case, position: int) -> tuple[Decision, ...]:
    """The decisions behind the reasons of a revision on some possible car, the latest first."""
    found = {
        decision: None
        for region in case.space
        for row in case.rows(region)
        if row.reasons[position] in (Reason.APPROVED, Reason.REJECTED)
        for decision in case.deciding(region, row, position)
    }
    return tuple(sorted(found, key=lambda one: (-one.decided_on.toordinal(), str(one.conditions))))


def _internal(case: Case, named: Revision | None) -> tuple[Internal, ...]:
    """Every revision but the named one, newest first: the verdict it alone would have with its proposals."""
    found: list[Internal] = []
    for revision in case.part.newest_first():
        if revision is named:
            continue
        alone = Case(case.space, case.part, case.place, (revision,), proposals=True)
        verdict = judge(reasons_of(alone)).verdict
        found.append(Internal(revision.letter, revision.status, revision.held, verdict))
    return tuple(found)


def _placed_nowhere(part: Part, *, staff: bool) -> PartAnswer:
    internal = tuple(
        Internal(revision.letter, revision.status, revision.held, Verdict.NOT_KNOWN) for revision in part.newest_first()
    )
    return PartAnswer(
        part, None, Verdict.NOT_KNOWN, None, (), None, (), frozenset({Reason.UNDECIDED}), (),
        internal if staff else None, (), (),
    )  # fmt: skip
