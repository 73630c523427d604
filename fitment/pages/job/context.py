"""A planned job as its page shows it, and what a reader chooses about it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from string import ascii_lowercase
from typing import Any

from catalog.codes import GraphState, Side, Units
from catalog.selectors.cars import variants_by_code
from catalog.selectors.parts import PartLine, part_lines
from catalog.selectors.titles import tool_titles
from fitment.answers.fit import RuleNote
from fitment.answers.job import Job, OrderedPart
from fitment.drawing.way_graph import StepNode, WayGraph, way_graph
from fitment.job.access_graph import AccessGraph
from fitment.pages.job.lines import PATH, order_lines, phases, press_lines, step_numbers, tool_lines, torque_table
from fitment.pages.shared.addresses import Query, address, with_value, without_value
from fitment.pages.shared.forms import PageForm
from fitment.query.job_parameters import JobRequest
from fitment.readers.vocabulary import names
from fitment.services.jobs.planning import DrawnJob
from fitment.text.cautions import USUAL_CAUTIONS
from fitment.text.fit import rule_words, verdict_words
from fitment.text.job import (
    EQUIPMENT_CHOICES,
    GRADES,
    SIDES_DONE,
    cause_words,
    extra_words,
    home_words,
    hours,
    joined_words,
    minutes,
    way_minutes,
)
from fitment.text.names import car_heading


@dataclass(frozen=True, slots=True)
class PartView:
    """A part of the job; `mark` is its letter in the graph, empty where it is the only one."""

    mark: str
    code: str
    revision: str
    title: str
    place: str
    verdict: str
    word: str
    href: str
    drop: str


@dataclass(frozen=True, slots=True)
class OtherWayView:
    """A way not taken; `after` and `at` are the steps it hangs between, `steps` titles and minutes."""

    name: str
    last: str
    extra: str
    steps: tuple[tuple[str, str], ...]
    after: tuple[str, ...]
    at: tuple[str, ...]


def choosing(query: Query, request: JobRequest, units: str) -> dict[str, object]:
    """The form of sides, equipment and units, and what it carries along unseen."""
    equipment = request.equipment_text
    choices = dict(EQUIPMENT_CHOICES)
    if equipment not in choices:
        titles = tool_titles(codes=request.equipment)
        choices[equipment] = ", ".join(titles.get(code, code) for code in request.equipment)
    form = PageForm(initial={"side": request.side, "equipment": equipment, "units": units})
    form.add("side", "Sides", choices=[(side, side) for side in (Side.BOTH, Side.LEFT, Side.RIGHT)])
    form.add("equipment", "Equipment", choices=choices.items())
    form.add("units", "Units", choices=Units.choices)
    kept = tuple((name, value) for name, values in query.items() if name not in form.fields for value in values)
    return {"fields": form, "kept": kept}


def job_context(drawn: DrawnJob, request: JobRequest, query: Query, units: str) -> dict[str, Any]:
    """Everything that the page of a job shows."""
    job, plan, workshop = drawn.job, drawn.job.plan, drawn.workshop
    codes = {one.part for one in job.parts} | {extra.part for extra in plan.while_in_there}
    lines = part_lines(codes=codes)
    titles = _titles(drawn, lines)
    parts = _parts(job, lines, query)
    variants = variants_by_code(codes=job.car.variants)
    subject = car_heading(request.car, variants, names().makers)
    numbers = step_numbers(job)
    edition = {"edition": str(job.catalogue.edition)}
    others = _other_ways(drawn.graph, titles) if drawn.graph is not None else []
    ordered = joined_words([f"{one.code} {one.revision}" for one in parts])
    return {
        "subject": subject,
        "ordered": ordered,
        "parts": parts,
        "side": SIDES_DONE[job.side],
        "shown": next((row for row in variants if row.code == plan.shown), None),
        "job": job,
        "plan": plan,
        "hours": hours(plan.hours),
        "hours_p80": hours(plan.hours_p80),
        "minutes": minutes(plan.minutes),
        "after_minutes": minutes(plan.after_minutes),
        "saved": minutes(plan.saved_minutes) if len(job.parts) > 1 and plan.saved_minutes >= 1 else "",
        "grade_words": f"{plan.grade}, {GRADES[plan.grade]}",
        "causes": [cause_words(cause, titles) for cause in plan.grade_set_by],
        "home": home_words(plan.home),
        "home_hours": hours(plan.home.hours) if plan.home.hours is not None else "",
        "phases": phases(job, workshop, units),
        "torques": torque_table(job, units),
        "tools": tool_lines(plan.tools, workshop, units),
        "press": press_lines(job, units),
        "orders": order_lines(job, workshop),
        "hazards": [
            {
                "title": caution.title,
                "text": caution.text,
                "steps": [numbers[name] for name in caution.operations if name in numbers],
            }
            for caution in plan.cautions
        ],
        "cautions": USUAL_CAUTIONS,
        "while_there": _while_there(job, lines, query),
        "gaps": [
            {
                "title": titles.get(gap.equipment, gap.equipment),
                "extra": None if gap.extra_minutes is None else minutes(gap.extra_minutes),
            }
            for gap in plan.equipment_gaps
        ],
        "rules": [
            {"part": rule.part, "text": rule_words(RuleNote(rule.rule, rule.other, rule.note)), "met": rule.met}
            for rule in job.rules
        ],
        "graph": _graph(drawn.graph, parts, others) if drawn.graph is not None else None,
        "other_ways": others,
        "check": address(f"{PATH}instruction/{job.instruction}/", query, adding=edition),
        "title_rows": _title_rows(job, subject, ordered, drawn),
    }


def _titles(drawn: DrawnJob, lines: Mapping[str, PartLine]) -> dict[str, str]:
    """What the codes of causes, ways and gaps are called."""
    workshop = drawn.workshop
    titles = {code: piece.title for code, piece in workshop.equipment.items()}
    titles |= {code: hazard.title for code, hazard in workshop.hazards.items()}
    titles |= dict(drawn.job.plan.titles)
    if drawn.graph is not None:
        titles |= {step.name: step.title for step in drawn.graph.steps}
    return {code: title or code for code, title in titles.items()} | {code: code for code in lines}


def _parts(job: Job, lines: Mapping[str, PartLine], query: Query) -> list[PartView]:
    alone = len(job.parts) == 1
    asked = query.get("part", [])
    return [
        PartView(
            mark="" if alone else ascii_lowercase[at],
            code=one.part,
            revision=one.revision,
            title=lines[one.part].title,
            place=names().place(one.end, one.location),
            verdict=one.verdict.value,
            word=verdict_words(one.verdict),
            href=f"/part/{one.part}/",
            drop="" if alone or at >= len(asked) else address(PATH, without_value(query, "part", asked[at])),
        )
        for at, one in enumerate(job.parts)
    ]


def _while_there(job: Job, lines: Mapping[str, PartLine], query: Query) -> list[dict[str, Any]]:
    return [
        {
            "code": extra.part,
            "title": lines[extra.part].title,
            "place": names().place(extra.end, extra.location),
            "extra": minutes(extra.extra_minutes),
            "grade": extra.extra_grade,
            "add": address(PATH, with_value(query, "part", f"{extra.part}:{extra.end}.{extra.location}")),
        }
        for extra in job.plan.while_in_there
    ]


def _graph(ways: AccessGraph, parts: list[PartView], others: list[OtherWayView]) -> WayGraph:
    marks = {goal.name: part.mark for goal, part in zip(ways.goals, parts, strict=True)}
    shared = len(parts) > 1
    nodes = [
        StepNode(
            step.name,
            step.title,
            way_minutes(step.minutes),
            step.state,
            tuple(marks[name] for name in step.goals) if shared else (),
        )
        for step in ways.steps
        if step.state != GraphState.OTHER
    ]
    nodes += [
        StepNode(
            goal.name,
            f"{part.code} {part.revision}",
            names().location(goal.end, goal.location),
            GraphState.GOAL,
            (part.mark,),
        )
        for goal, part in zip(ways.goals, parts, strict=True)
        for place in [names().location(goal.end, goal.location)]
    ]
    links = list(ways.links)
    for other in others:
        nodes.append(StepNode(other.name, other.last, other.extra, GraphState.OTHER))
        links += [(step, other.name) for step in other.after] + [(other.name, step) for step in other.at]
    return way_graph(nodes, links)


def _other_ways(ways: AccessGraph, titles: Mapping[str, str]) -> list[OtherWayView]:
    """Ways not taken, each once: what they would add, or what they lack, and their steps."""
    found: dict[tuple[str, ...], OtherWayView] = {}
    steps = {step.name: step for step in ways.steps}
    for other in ways.alternatives:
        view = OtherWayView(
            name=f"other {len(found)}",
            last=titles.get(other.last, other.last),
            extra=extra_words(other.extra_minutes, [titles.get(code, code) for code in other.lacking]),
            steps=tuple((steps[name].title, minutes(steps[name].minutes)) for name in other.steps),
            after=other.after,
            at=(other.at,),
        )
        before = found.get(other.steps)
        found[other.steps] = view if before is None else replace(before, at=(*before.at, other.at))
    return list(found.values())


def _title_rows(job: Job, subject: str, ordered: str, drawn: DrawnJob) -> list[dict[str, Any]]:
    """The title block of the printed instruction."""
    return [
        {"label": "Fitting instruction", "value": ordered, "wide": len(job.parts) > 2},
        {"label": "Car", "value": f"{subject} ({job.plan.shown})", "wide": True},
        {"label": "Procedure", "value": _procedure(job.parts, drawn), "wide": len(job.parts) > 1},
        {"label": "Code", "value": job.instruction, "wide": False},
    ]


def _procedure(parts: tuple[OrderedPart, ...], drawn: DrawnJob) -> str:
    axles = {name.partition("/")[0] for name in drawn.job.plan.operations}
    ways = sorted({one.way for one in parts if one.way})
    return " ".join((*sorted(axles), *ways))
