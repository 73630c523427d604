"""The answer to a question from the facts: who may be meant, what fits, what to ask next. Pure."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from catalog.codes import Basis, Reason, Verdict
from fitment.answers.fit import Internal, PartCar, UnknownAxle, UnknownLocation
from fitment.domain.description import Description, Question
from fitment.domain.facts import Facts, FitDecision, Part, Place, Revision, Variant
from fitment.rules.basis import Evidence, weakest
from fitment.rules.case import Case
from fitment.rules.derivations import Derivations
from fitment.rules.outcome import Judgement, judge
from fitment.rules.places import listed, place_occupants, unknown_axles, unknown_locations
from fitment.rules.possible_cars import CarSpace, finite
from fitment.rules.prospects import Prospects
from fitment.rules.question import ChosenQuestion, QuestionChooser, platform_question
from fitment.rules.residual import day_of


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """The verdict on a part at a place (None: it is placed nowhere).

    `reasons` are those of the revision named, else of the newest visible; `decisions` stand behind them on some
    possible car. `carried_from` are the letters that the named one is carried over from, where that is the basis;
    `components` are those it fits.
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
    decisions: tuple[FitDecision, ...]
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
    platforms = {(region.variant.maker, region.variant.chassis) for region in space}
    if len(platforms) > 1:
        asked = platform_question(space, question.skipped) if ask else None
        return FitResult(space, len(platforms), asked, None, (), (), ())
    occupants = place_occupants(space)
    prospects = Prospects(space, occupants)
    found: list[PartAnswer] = []
    choosers: dict[Case, QuestionChooser] = {}
    for part, place in listed(space, question, occupants, staff=staff):
        if place is None:
            found.append(_placed_nowhere(part, staff=staff))
            continue
        case = Case(space, part, place, part.visible())
        judgement = judge(case.reasons())
        if judgement.verdict is Verdict.DEPENDS:
            choosers[case] = QuestionChooser(prospects, [case])
        found.append(_part_answer(case, judgement, choosers.get(case), staff=staff))
    return FitResult(
        space,
        1,
        _next_question(prospects, choosers, question) if ask and choosers else None,
        len(choosers),
        tuple(found),
        unknown_locations(occupants, question),
        unknown_axles(space, question),
    )


def _next_question(
    prospects: Prospects, choosers: Mapping[Case, QuestionChooser], question: Question
) -> ChosenQuestion | None:
    if len(choosers) == 1 and not question.skipped:
        (alone,) = choosers.values()
        return alone.next()
    return QuestionChooser(prospects, list(choosers), question.skipped).next()


def _part_answer(case: Case, judgement: Judgement, chooser: QuestionChooser | None, *, staff: bool) -> PartAnswer:
    position = judgement.named or 0
    named = case.revisions[position] if judgement.named is not None else None
    reasons: set[Reason] = set()
    decisions: dict[FitDecision, None] = {}
    for region in case.space if case.revisions else ():
        for row in case.rows(region):
            reasons.add(row.reasons[position])
            decisions |= dict.fromkeys(case.deciding(region, row, position))
    fitted = fitted_on(case, position) if named is not None else []
    basis = weakest({evidence.basis(day, mask) for evidence, day, mask in fitted})
    return PartAnswer(
        part=case.part,
        place=case.place,
        verdict=judgement.verdict,
        named=named,
        others=tuple(case.revisions[other] for other in judgement.others),
        basis=basis,
        carried_from=_carried_from(case, fitted) if basis is Basis.CARRIED_OVER else (),
        reasons=frozenset(reasons or {Reason.UNDECIDED}),
        undecided_by=_undecided_by(chooser) if chooser is not None else (),
        internal=_internal(case, named) if staff else None,
        decisions=tuple(sorted(decisions, key=lambda one: (-one.decided_on.toordinal(), str(one.conditions)))),
        components=tuple(sorted({evidence.component for evidence, _, _ in fitted})),
    )


def _undecided_by(chooser: QuestionChooser) -> tuple[str, ...]:
    names = tuple(one.name for one in chooser.relevant())
    if names:
        return names
    asked = chooser.next()
    return (asked.attribute.name,) if asked is not None else ()


def fitted_on(case: Case, position: int) -> list[tuple[Evidence, int, int]]:
    """What stands behind a revision on the possible cars that it fits, each with a day and options."""
    revision = case.revisions[position]
    found = []
    for region in case.space:
        fitting = (row for row in case.rows(region) if row.fits >> position & 1)
        for component in {row.component for row in fitting if row.component is not None}:
            evidence = case.evidence(region, revision, component)
            found += [
                (evidence, row.cell.first, row.cell.mask)
                for row in case.rows(region, evidence.bits, evidence.cuts)
                if row.component == component and row.fits >> position & 1
            ]
    return found


def known_by(case: Case, position: int) -> Basis | None:
    """The weakest basis over the possible cars that a revision fits."""
    return weakest({evidence.basis(day, mask) for evidence, day, mask in fitted_on(case, position)})


def _carried_from(case: Case, fitted: Iterable[tuple[Evidence, int, int]]) -> tuple[str, ...]:
    """The letters of earlier revisions that one is carried over from on some possible car, newest first."""
    carried = {
        evidence.carried_from(day, mask)
        for evidence, day, mask in fitted
        if evidence.basis(day, mask) is Basis.CARRIED_OVER
    }
    return tuple(revision.letter for revision in case.part.newest_first() if revision.letter in carried)


def _internal(case: Case, named: Revision | None) -> tuple[Internal, ...]:
    """Every revision but the named one, newest first: the verdict it alone would have with its proposals."""
    return tuple(
        _internal_note(
            revision, judge(Case(case.space, case.part, case.place, (revision,), proposals=True).reasons()).verdict
        )
        for revision in case.part.newest_first()
        if revision is not named
    )


def _internal_note(revision: Revision, verdict: Verdict) -> Internal:
    return Internal(revision.letter, revision.status, revision.held, verdict)


def _placed_nowhere(part: Part, *, staff: bool) -> PartAnswer:
    internal = tuple(_internal_note(revision, Verdict.NOT_KNOWN) for revision in part.newest_first())
    return PartAnswer(
        part=part,
        place=None,
        verdict=Verdict.NOT_KNOWN,
        named=None,
        others=(),
        basis=None,
        carried_from=(),
        reasons=frozenset({Reason.UNDECIDED}),
        undecided_by=(),
        internal=internal if staff else None,
        decisions=(),
        components=(),
    )


def verdict_intervals(
    facts: Facts, part: Part, variant: Variant, derivations: Derivations | None = None
) -> Iterator[PartCar]:
    """The intervals of one variant at each place at which the part is listed for it alone, by place and day."""
    alone = replace(facts, variants=(variant,), parts={part.code: part})
    space = CarSpace(alone, Description(variant=variant.code), derivations)
    for _, place in listed(space, Question(), place_occupants(space), staff=False):
        if place is not None:
            yield from _intervals(space, part, place)


def _intervals(space: CarSpace, part: Part, place: Place) -> Iterator[PartCar]:
    (region,) = space
    case = Case(space, part, place, part.visible())
    rows = list(case.rows(region))
    starts = sorted({row.cell.first for row in rows} | {row.cell.last + 1 for row in rows})
    found: list[tuple[int, int, tuple[Verdict, str | None]]] = []
    for first, after in pairwise(starts):
        reasons: list[set[Reason]] = [set() for _ in case.revisions]
        for row in rows:
            if row.cell.first <= first <= row.cell.last:
                for position, reason in enumerate(row.reasons):
                    reasons[position].add(reason)
        judgement = judge(reasons)
        named = case.revisions[judgement.named].letter if judgement.named is not None else None
        if found and found[-1][2] == (judgement.verdict, named):
            found[-1] = (found[-1][0], after - 1, found[-1][2])
        else:
            found.append((first, after - 1, (judgement.verdict, named)))
    for first, last, (verdict, named) in found:
        begin = day_of(first)
        if begin is not None:
            end = day_of(last) if finite(last) is not None else None
            yield PartCar(region.variant.code, *place, begin, end, verdict, named)
