"""Jobs, as the contract writes them: minutes, hours, N m, degrees, whole millimetres, kN."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any
from urllib.parse import urlencode

from fitment.answers.job import AddablePart, FastenerLine, Home, Job, JobStep, JobSummary, Tool, ToOrder
from fitment.query.job_parameters import JobRequest
from fitment.text.job import step_text

JOB_PATH = "/api/v1/job/"
PLACES = 4  # of a minute: far below what anybody measures


def minutes(value: Fraction | float | None) -> float | None:
    """Minutes as a number of four places; null where the work is done elsewhere."""
    return None if value is None else round(float(value), PLACES)


def job_body(job: Job) -> dict[str, Any]:
    """A job without `catalogue`, which the endpoint adds. The same for every role."""
    plan = job.plan
    return {
        "car": {"stated": job.car.stated, "variants": list(job.car.variants), "shown": plan.shown},
        "parts": [
            {
                "part": one.part,
                "end": one.end,
                "location": one.location,
                "revision": one.revision,
                "verdict": one.verdict,
                "way": one.way,
            }
            for one in job.parts
        ],
        "side": job.side,
        "grade": plan.grade,
        "grade_set_by": list(plan.grade_set_by),
        "minutes": minutes(plan.minutes),
        "after_minutes": minutes(plan.after_minutes),
        "minutes_median": minutes(plan.minutes_median),
        "minutes_p80": minutes(plan.minutes_p80),
        "observations": plan.observations,
        "hours": plan.hours,
        "hours_p80": plan.hours_p80,
        "proven": plan.proven,
        "varies": plan.varies,
        "operations": list(plan.operations),
        "after": [
            {"operation": one.operation, "minutes": minutes(one.minutes), "elsewhere": one.elsewhere}
            for one in plan.after
        ],
        "steps": [_step(step) for step in plan.steps],
        "bench": [
            {"part": one.part, "pieces": one.pieces, "minutes": minutes(one.minutes), "elsewhere": one.elsewhere}
            for one in plan.bench
        ],
        "tools": [_tool(tool) for tool in plan.tools],
        "press_tools": [
            {
                "part": one.part,
                "place": one.place,
                "pusher_outside_mm": one.pusher_outside_mm,
                "cup_inside_mm": one.cup_inside_mm,
                "cup_outside_mm": one.cup_outside_mm,
                "press_kn": one.press_kn,
            }
            for one in plan.press_tools
        ],
        "fasteners": [_fastener(line) for line in plan.fasteners],
        "to_order": _to_order(plan.to_order),
        "cautions": [
            {"hazard": one.hazard, "title": one.title, "text": one.text, "operations": list(one.operations)}
            for one in plan.cautions
        ],
        "saved_minutes": minutes(plan.saved_minutes),
        "while_in_there": [_extra(extra) for extra in plan.while_in_there],
        "equipment_gaps": [
            {"equipment": gap.equipment, "extra_minutes": minutes(gap.extra_minutes)} for gap in plan.equipment_gaps
        ],
        "home": home_body(plan.home),
        "rules": [
            {"part": one.part, "rule": one.rule, "other": one.other, "note": one.note, "met": one.met}
            for one in job.rules
        ],
        "instruction": job.instruction,
    }


def summary_body(summary: JobSummary, request: JobRequest) -> dict[str, Any]:
    """The job beside a fitment answer."""
    return {
        "grade": summary.grade,
        "grade_set_by": list(summary.grade_set_by),
        "hours": summary.hours,
        "hours_p80": summary.hours_p80,
        "minutes": minutes(summary.minutes),
        "after_minutes": minutes(summary.after_minutes),
        "tools": summary.tools,
        "after_work": list(summary.after_work),
        "home": {"possible": summary.home.possible, "grade": summary.home.grade, "hours": summary.home.hours},
        "href": job_href(request),
    }


def job_href(request: JobRequest) -> str:
    """The address of a job."""
    return f"{JOB_PATH}?{urlencode(request.parameters(), safe=':@,.')}"


def home_body(home: Home) -> dict[str, Any]:
    return {
        "possible": home.possible,
        "grade": home.grade,
        "grade_set_by": list(home.grade_set_by),
        "minutes": minutes(home.minutes),
        "after_minutes": minutes(home.after_minutes),
        "hours": home.hours,
        "operations": list(home.operations),
        "after": list(home.after),
        "elsewhere": [*home.elsewhere, *home.bench_elsewhere],
    }


def _step(step: JobStep) -> dict[str, Any]:
    return {
        "phase": step.phase,
        "operation": step.operation,
        "part": step.part,
        "place": step.place,
        "title": step.title,
        "side": step.side,
        "text": step_text(step),
        "watch_for": step.watch_for,
        "minutes": minutes(step.minutes),
        "elsewhere": step.elsewhere,
        "tools": [_tool(tool) for tool in step.tools],
        "fasteners": [_fastener(line) for line in step.fasteners],
        "cautions": list(step.hazards),
    }


def _tool(tool: Tool) -> dict[str, Any]:
    return {"kind": tool.kind, "code": tool.code, "usual": tool.usual}


def _fastener(line: FastenerLine) -> dict[str, Any]:
    return {
        "operation": line.operation,
        "fastener": line.fastener,
        "number": line.number or None,
        "count": line.count,
        "thread": line.thread,
        "grade": line.grade,
        "head": line.head,
        "drive": line.drive,
        "usual": line.usual,
        "counter_hold": line.counter_hold,
        "torque_nm": _figure(line.torque_nm),
        "angle_deg": _figure(line.angle_deg),
        "tighten_at": line.tighten_at,
        "single_use": line.single_use,
        "locking": line.locking,
        "note": line.note,
    }


def _figure(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _to_order(order: ToOrder) -> Mapping[str, Any]:
    return {
        "kits": [
            {"part": one.part, "revision": one.revision, "pieces": one.pieces, "kits": one.kits} for one in order.kits
        ],
        "fasteners": [
            {"number": one.number or None, "operation": one.operation, "fastener": one.fastener, "count": one.count}
            for one in order.fasteners
        ],
        "consumables": list(order.consumables),
    }


def _extra(extra: AddablePart) -> dict[str, Any]:
    return {
        "part": extra.part,
        "location": f"{extra.end}.{extra.location}",
        "revision": extra.revision,
        "extra_minutes": minutes(extra.extra_minutes),
        "extra_grade": extra.extra_grade,
    }
