"""Plans a job: the possible cars and verdicts of the rules, the procedures of their axles, and all that follows."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.codes import End, EquipmentSet, Role, Verdict
from fitment.answers.fit import Answer, CatalogueRef
from fitment.answers.job import Job, JobSummary, OrderedPart, PlannedCar, RuleAsked
from fitment.domain.description import Description, Question
from fitment.domain.procedures import Goal, JobCar, Workshop
from fitment.errors import FitmentError, NoCommonCar, SeveralPlatforms
from fitment.job.access_graph import AccessGraph, access_graph
from fitment.job.access_plan import CostliestCar
from fitment.job.instruction import instruction_code, printed_content
from fitment.job.job_cars import job_cars, with_other_end
from fitment.job.job_plan import JobScope, job_plan, job_summary, plan_for, sides_of
from fitment.job.labour import Factor, RecordedJob, axle_factors
from fitment.query.job_parameters import JobRequest, PartAsked
from fitment.readers.editions import at_edition, kept_for_edition
from fitment.readers.labels import next_question
from fitment.readers.procedures import JobTimeFacts, PartsReader, parts_of, read_job_times, workshop_of
from fitment.readers.vocabulary import vocabulary
from fitment.rules.answer import answer
from fitment.rules.case import Case
from fitment.rules.outcome import judge
from fitment.rules.places import listed, place_occupants
from fitment.rules.possible_cars import CarSpace
from fitment.services.fit.answering import possible_space
from fitment.services.jobs.ordered_parts import Ordered, excludes, order_parts
from fitment.services.jobs.press_sizes import press_sizes


def factors_of(axles: Iterable[str]) -> dict[str, Factor]:
    """The factor of each axle; kept until the edition or the count of job times moves on."""
    with at_edition() as current:
        return {axle: _factor(axle, current.job_time_count) for axle in axles}


@kept_for_edition(entries=512)
def _factor(axle: str, job_times: int) -> Factor:
    workshop = workshop_of((axle,))
    jobs = list(_jobs(axle, workshop, read_job_times([axle])))
    return axle_factors(workshop, jobs, [axle])[axle]


def _jobs(axle: str, workshop: Workshop, rows: Iterable[JobTimeFacts]) -> Iterator[RecordedJob]:
    for row in rows:
        asked = [PartAsked(part, None, end or None, location or None) for part, end, location in row.parts]
        codes = tuple(sorted({one.part for one in asked}))
        try:
            space = possible_space(Question(car=Description(variant=row.variant), parts=codes))
            ordered = order_parts(space, asked, Role.PUBLIC)
            ends = {one.place[0] for one in ordered}
            if len(ends) != 1 or not any(region.variant.axle(end) == axle for region in space for end in ends):
                continue
            cars = job_cars(space, [one.case for one in ordered], workshop)
        except FitmentError:
            # a scope that is no job today teaches nothing
            continue
        parts = parts_of(codes, (axle,))
        yield RecordedJob(
            cars=tuple(cars),
            goals=tuple(Goal(parts.part(one.part.code, one.revision.letter), *one.place) for one in ordered),
            sides=sides_of(row.side),
            equipment=workshop.pieces(row.equipment.split()),
            after_work=row.after_work,
            minutes=Fraction(row.minutes),
            car=row.car,
        )


SUMMARIES_KEPT = 1_000  # as many as answers, which they stand beside
JobSummaries = Mapping[tuple[str, str, str], tuple[JobSummary, JobRequest] | None]
"""By part, end and location; None where nothing can be planned."""


@dataclass(frozen=True, slots=True)
class DrawnJob:
    """A job, the graph of its way in where asked for, and what its codes are called."""

    job: Job
    graph: AccessGraph | None
    workshop: Workshop


@dataclass(frozen=True, slots=True)
class Planned:
    """A job with its least plan, before anything is derived from it."""

    space: CarSpace
    ordered: list[Ordered]
    workshop: Workshop
    scope: JobScope
    costliest: CostliestCar

    @property
    def axles(self) -> tuple[str, ...]:
        return self.costliest.setup.axles


def plan_job(*, request: JobRequest, viewer: Role) -> Job:
    """The job of one or more parts on one car.

    Raises Refusal with the reason, and BadParameters (the same part at the same place twice).
    """
    return plan_job_drawn(request=request, viewer=viewer).job


def plan_job_drawn(*, request: JobRequest, viewer: Role, draw: bool = False) -> DrawnJob:
    """The job, with `draw` also the graph of its way in. Raises what `plan_job` raises."""
    with at_edition() as current:
        planned = _planned(request, viewer)
        scope, costliest = _with_candidates(planned, viewer)
        press = press_sizes([(goal, costliest.setup.car.axles[goal.end]) for goal in scope.goals], planned.space)
        scope = replace(scope, press=press)
        plan = job_plan(scope, costliest, factors_of(planned.axles))
        job = Job(
            catalogue=CatalogueRef(current.code, current.edition),
            car=_planned_car(planned.space, plan.shown),
            parts=tuple(
                _ordered_part(one, goal, planned) for one, goal in zip(planned.ordered, scope.goals, strict=True)
            ),
            side=request.side,
            equipment=tuple(sorted(scope.equipment)),
            plan=plan,
            rules=tuple(_rules(planned.ordered, request.side, viewer)),
        )
        job = replace(job, instruction=instruction_code(printed_content(job)))
        graph = access_graph(planned.costliest.setup, planned.costliest.plan) if draw else None
        return DrawnJob(job, graph, planned.workshop)


@dataclass(frozen=True, slots=True)
class Wanted:
    """An answer whose job is wanted: all of it that a plan reads."""

    part: str
    revision: str
    end: str
    location: str
    verdict: Verdict


def job_summaries(*, question: Question, answers: Answer) -> JobSummaries:
    """For each answer that may fit the figures of its job and the request for all of it.

    Kept, as answers are, until the edition or the count of job times moves on.
    """
    wanted = tuple(
        Wanted(one.part, one.revision, one.end or "", one.location or "", one.verdict)
        for one in answers.answers
        if one.revision is not None
    )
    if not wanted:
        return {}
    with at_edition() as current:
        return kept_summaries(question.car, question.equipment or EquipmentSet.SHOP, wanted, current.job_time_count)


@kept_for_edition(entries=SUMMARIES_KEPT, reads=False)
def kept_summaries(
    car: Description, equipment: str | tuple[str, ...], wanted: tuple[Wanted, ...], job_times: int
) -> JobSummaries:
    """`job_times` is a part of the key alone: the factors that recorded times teach are read anew when it moves."""
    codes = tuple(sorted({one.part for one in wanted}))
    # A revision that fits some car is decided on a component there, so the platform's facts have its part.
    space = possible_space(Question(car=car))
    return {(one.part, one.end, one.location): _summary(space, codes, one, car, equipment) for one in wanted}


def _summary(
    space: CarSpace, codes: tuple[str, ...], one: Wanted, car: Description, equipment: str | tuple[str, ...]
) -> tuple[JobSummary, JobRequest] | None:
    asked = PartAsked(one.part, None, one.end, one.location)
    request = JobRequest(car, (asked,), equipment=equipment)
    part = space.facts.parts[one.part]
    revision = next(revision for revision in part.revisions if revision.letter == one.revision)
    place = (one.end, one.location)
    ordered = Ordered(asked, part, revision, place, one.verdict, Case(space, part, place, (revision,)))
    try:
        planned = _plan(space, [ordered], request, codes)
    except FitmentError:
        return None
    return job_summary(planned.scope, planned.costliest, factors_of(planned.axles)), request


def _planned(request: JobRequest, viewer: Role) -> Planned:
    codes = tuple(sorted({one.part for one in request.parts}))
    question = Question(car=request.car, parts=codes)
    space = possible_space(question)
    if len({(region.variant.maker, region.variant.chassis) for region in space}) > 1:
        answered = answer(space, replace(question, parts=()), staff=viewer.is_staff)
        raise SeveralPlatforms(next_question(answered, staff=viewer.is_staff) if answered.asked else None)
    return _plan(space, order_parts(space, request.parts, viewer), request, codes)


def _plan(space: CarSpace, ordered: list[Ordered], request: JobRequest, codes: tuple[str, ...]) -> Planned:
    axles = _axles(space)
    workshop, parts = workshop_of(axles), parts_of(codes, axles)
    cars = job_cars(space, [one.case for one in ordered], workshop)
    if not cars:
        raise NoCommonCar([str(one.asked) for one in ordered])
    stated = [request.equipment] if isinstance(request.equipment, str) else request.equipment
    scope = JobScope(
        cars=tuple(cars),
        goals=tuple(_goal(one, parts) for one in ordered),
        side=request.side,
        equipment=workshop.pieces(stated),
    )
    costliest = plan_for(workshop, scope)
    return Planned(space, ordered, workshop, scope, costliest)


def _axles(space: CarSpace) -> tuple[str, ...]:
    axles = {region.variant.axle(end) for region in space for end in End}
    return tuple(sorted(axle for axle in axles if axle is not None))


def _goal(one: Ordered, parts: PartsReader) -> Goal:
    return Goal(parts.part(one.part.code, one.revision.letter), *one.place)


def _with_candidates(planned: Planned, viewer: Role) -> tuple[JobScope, CostliestCar]:
    """The scope with what may be fitted too, and the plan on a car of which both ends are known."""
    space, ordered = possible_space(Question(car=planned.space.description)), planned.ordered
    asked = {one.part.code for one in ordered}
    served = {one.place for one in ordered}
    found: list[tuple[str, str, tuple[str, str]]] = []
    for part, place in listed(space, Question(), place_occupants(space), staff=viewer.is_staff):
        if place is None or part.code in asked or place in served:
            continue
        if any(excludes(part, one.part) for one in ordered):
            continue
        revisions = part.visible()
        judgement = judge(Case(space, part, place, revisions).reasons())
        if judgement.verdict is Verdict.FITS and judgement.named is not None:
            found.append((part.code, revisions[judgement.named].letter, place))
    if not found:
        return planned.scope, planned.costliest
    parts = parts_of(tuple(sorted({code for code, _, _ in found})), _axles(space))
    candidates = tuple(Goal(parts.part(code, letter), *place) for code, letter, place in found)
    setup = planned.costliest.setup
    car: JobCar = with_other_end(planned.space, [one.case for one in ordered], planned.workshop, setup.car)
    costliest = replace(planned.costliest, setup=replace(setup, car=car))
    return replace(planned.scope, candidates=candidates), costliest


def _planned_car(space: CarSpace, shown: str) -> PlannedCar:
    variants = tuple(region.variant.code for region in space)
    return PlannedCar(space.description.stated(), variants, shown)


def _ordered_part(one: Ordered, goal: Goal, planned: Planned) -> OrderedPart:
    setup = planned.costliest.setup
    place = setup.workshop.axles[setup.car.axles[goal.end]].locations[goal.location]
    way = planned.costliest.plan.ways.get(goal.name, "")
    return OrderedPart(one.part.code, *one.place, one.revision.letter, one.verdict, place.title, way)


def _rules(ordered: Sequence[Ordered], side: str, viewer: Role) -> list[RuleAsked]:
    """What the rules of the parts ask, and whether this job does it; a part the viewer may not know of is not named."""
    codes = {one.part.code for one in ordered}
    known = None if viewer.is_staff else vocabulary().public_parts
    found: dict[tuple[str, str, str | None], RuleAsked] = {}
    for one in ordered:
        for rule in one.part.rules:
            if known is not None and rule.other is not None and rule.other not in known:
                continue
            met = {"requires": rule.other in codes, "excludes": True, "in_pairs": side == "both"}.get(rule.rule)
            key = (one.part.code, rule.rule, rule.other)
            found[key] = RuleAsked(one.part.code, rule.rule, rule.other, rule.note, met)
    return list(found.values())
