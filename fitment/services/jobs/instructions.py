"""Is a printed instruction current? The job is computed anew and compared; what changed since its edition is listed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from catalog.codes import End, Role
from catalog.models import Change
from fitment.answers.job import InstructionChange, InstructionCheck, Job
from fitment.domain.description import Question
from fitment.errors import NoPossibleCar, Refusal, TooMuchWork
from fitment.query.job_parameters import JobRequest
from fitment.readers.editions import at_edition
from fitment.services.fit.answering import possible_space
from fitment.services.jobs.planning import plan_job
from fitment.text.refusals import refusal_words

MOST_CHANGES = 500
# by sheet the columns that a reader of any role may hear of; changes of others are passed over
COLUMNS: Mapping[str, Sequence[str]] = {
    sheet: columns.split()
    for sheet, columns in {
        "operations": (
            "title text watch_for zone per_side remove_min remove_likely remove_max refit_min "
            "refit_likely refit_max skill needs entails equipment consumables hazards alignment "
            "conditions if_absent"
        ),
        "fasteners": (
            "number count thread grade head drive counter_hold torque_nm angle_deg tighten_at single_use note"
        ),
        "ways": "operations piece_out",
        "axle_locations": "pieces per",
        "fastener_changes": "supplied torque_nm angle_deg locking",
        "parts": "title kit_pieces seat bench_min bench_likely bench_max bench_skill bench_equipment",
        "revisions": "status released_on change",
        "holds": "batch_from batch_to look_for opened_on closed_on",
        "part_rules": "rule other note",
        "fit_decisions": "decision conditions",
        "equipment": "title kind home least_grade",
        "hazards": "title least_grade caution",
    }.items()
}


@dataclass(frozen=True, slots=True)
class _Scope:
    """What a job reads: axles, parts with the revision ordered, locations."""

    axles: frozenset[str]
    parts: Mapping[str, str | None]
    locations: frozenset[str]


def compare_instruction(*, code: str, request: JobRequest, since: int | None, viewer: Role) -> InstructionCheck:
    """Compares a printed code with the job of today.

    Raises BadParameters and TooMuchWork; a job that is refused today is an answer.
    """
    with at_edition():
        job: Job | None = None
        refused: Refusal | None = None
        try:
            job = plan_job(request=request, viewer=viewer)
        except TooMuchWork:
            raise
        except Refusal as error:
            refused = error
        now = job.instruction if job is not None else None
        changes = () if since is None else tuple(_changes(since, _scope(request, job)))
        return InstructionCheck(
            code=code,
            current=now == code,
            now=now,
            reason=refused.reason if refused else None,
            detail=refusal_words(refused) if refused else None,
            since=since,
            changes=changes,
        )


def _scope(request: JobRequest, job: Job | None) -> _Scope:
    """The axles of the ends opened, on all cars meant: which of them is shown may have changed."""
    parts: dict[str, str | None] = {one.part: one.revision for one in request.parts}
    locations = {one.location for one in request.parts if one.location}
    ends = {one.end for one in request.parts if one.end}
    if job is not None:
        parts = {one.part: one.revision for one in job.parts}
        locations = {one.location for one in job.parts}
        ends = {one.end for one in job.parts}
    try:
        space = possible_space(Question(car=request.car))
    except NoPossibleCar:
        return _Scope(frozenset(), parts, frozenset(locations))
    axles = {region.variant.axle(end) for region in space for end in ends or End}
    return _Scope(frozenset(axle for axle in axles if axle is not None), parts, frozenset(locations))


def _changes(since: int, scope: _Scope) -> Iterator[InstructionChange]:
    rows = (
        Change.objects.filter(edition__number__gt=since, sheet__in=COLUMNS)
        .order_by("edition__number", "sheet", "row_key")
        .values_list("edition__number", "sheet", "row_key", "action", "before", "after")
    )
    count = 0
    for edition, sheet, row, action, before, after in rows.iterator():
        if not _concerns(sheet, after or before or {}, scope):
            continue
        columns = _columns(sheet, before, after)
        if columns:
            yield InstructionChange(edition, sheet, row, action, columns)
            count += 1
            if count == MOST_CHANGES:
                return


def _columns(sheet: str, before: Mapping[str, Any] | None, after: Mapping[str, Any] | None) -> tuple[str, ...]:
    old, new = before or {}, after or {}
    return tuple(name for name in COLUMNS[sheet] if old.get(name) != new.get(name))


def _concerns(sheet: str, row: Mapping[str, Any], scope: _Scope) -> bool:
    part, letter = row.get("part"), row.get("revision")
    if sheet in ("equipment", "hazards"):
        return True
    if sheet in ("parts", "part_rules"):
        return part in scope.parts
    if sheet in ("revisions", "holds", "fit_decisions", "fastener_changes"):
        printed = scope.parts.get(part) if isinstance(part, str) else None
        named = part in scope.parts and (printed is None or letter == printed)
        return (
            named and row.get("decision") != "proposed" and (sheet != "fastener_changes" or row["axle"] in scope.axles)
        )
    in_place = sheet in ("operations", "fasteners") or not scope.locations or row.get("location") in scope.locations
    return row.get("axle") in scope.axles and in_place
