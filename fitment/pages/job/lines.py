"""The steps, tools, torques and orders of a job, line by line; the figures that stand beside an answer."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from catalog.codes import EquipmentSet, Phase, Side, TightenAt, ToolKind
from fitment.answers.job import FastenerLine, Job, JobStep, JobSummary, Tool
from fitment.domain.procedures import Workshop
from fitment.pages.shared.addresses import address
from fitment.query.job_parameters import JobRequest
from fitment.text.job import (
    GRADES,
    NO_NUMBER,
    STEP_SIDES,
    FigureInUnits,
    fastener_notes,
    fastener_words,
    home_words,
    hours,
    kit_words,
    minutes,
    page_step_text,
    press_figures,
    single_use_words,
    tool_words,
    torque,
)

PATH = "/job/"


@dataclass(frozen=True, slots=True)
class JobLine:
    """What an answer says of its job. `planned`: whether a way in is recorded; without one the rest is empty."""

    planned: bool
    href: str = ""
    hours: str = ""
    hours_p80: str = ""
    grade: int = 0
    grade_words: str = ""
    tools: int = 0
    after: str = ""
    home: str = ""


@dataclass(frozen=True, slots=True)
class TorqueLine:
    """A fastener of the torque table; `set` is empty where no torque is recorded."""

    step: str
    what: str
    count: int
    drive: str
    usual: bool
    set: FigureInUnits | None
    angle: str
    at_ride_height: bool
    single_use: bool
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepLine:
    number: int
    title: str
    text: str
    watch_for: str
    side: str
    minutes: str
    elsewhere: bool
    tools: tuple[str, ...]
    torques: tuple[TorqueLine, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PhaseSection:
    name: str
    title: str
    steps: tuple[StepLine, ...]


def job_line(found: tuple[JobSummary, JobRequest] | None) -> JobLine:
    if found is None:
        return JobLine(False)
    summary, request = found
    return JobLine(
        planned=True,
        href=job_address(request),
        hours=hours(summary.hours),
        hours_p80=hours(summary.hours_p80),
        grade=summary.grade,
        grade_words=f"{summary.grade}, {GRADES[summary.grade]}",
        tools=summary.tools,
        after=minutes(summary.after_minutes) if summary.after_work else "",
        home=home_words(summary.home),
    )


def job_address(request: JobRequest) -> str:
    """The page of a job; what is the default is left out of the address."""
    query: dict[str, list[str]] = {}
    for name, value in request.parameters():
        if (name, value) not in (("side", Side.BOTH), ("equipment", EquipmentSet.SHOP)):
            query.setdefault(name, []).append(value)
    return address(PATH, query)


def phases(job: Job, workshop: Workshop, units: str) -> tuple[PhaseSection, ...]:
    """The steps by phase, numbered through."""
    lines = [(step.phase, _step(number, step, job, workshop, units)) for number, step in _numbered(job)]
    return tuple(
        PhaseSection(phase.value, phase.word, tuple(line for _, line in group))
        for phase, group in groupby(lines, key=lambda each: each[0])
    )


def step_numbers(job: Job) -> dict[str, int]:
    """The first step in which each operation is met."""
    found: dict[str, int] = {}
    for number, step in _numbered(job):
        if step.operation is not None:
            found.setdefault(step.operation, number)
    return found


def torque_table(job: Job, units: str) -> tuple[TorqueLine, ...]:
    """All fasteners with a torque or an angle, in the order in which they are tightened."""
    return tuple(line for step in job.plan.steps for line in _torques(step, job.plan.titles, units))


def tool_lines(tools: Iterable[Tool], workshop: Workshop, units: str) -> tuple[str, ...]:
    titles = {code: piece.title for code, piece in workshop.equipment.items()}
    return tuple(tool_words(tool, titles, units) for tool in tools)


def press_lines(job: Job, units: str) -> tuple[tuple[str, Sequence[tuple[str, FigureInUnits]]], ...]:
    """Press tools by part: what each piece measures."""
    lines = ((tools.part, press_figures(tools, units)) for tools in job.plan.press_tools)
    return tuple((part, figures) for part, figures in lines if figures)


def order_lines(job: Job, workshop: Workshop) -> tuple[tuple[str, str, int | None], ...]:
    """What to order: what, its number or code, how many (None: as needed)."""
    order, titles = job.plan.to_order, job.plan.titles
    consumables = ((code, workshop.equipment.get(code)) for code in order.consumables)
    return (
        *((kit_words(one), f"{one.part} {one.revision}", one.kits) for one in order.kits),
        *(
            (single_use_words(titles.get(one.operation, one.operation)), one.number or NO_NUMBER, one.count)
            for one in order.fasteners
        ),
        *((piece.title if piece else code, "", None) for code, piece in consumables),
    )


def _numbered(job: Job) -> Iterable[tuple[int, JobStep]]:
    return enumerate(job.plan.steps, start=1)


def _step(number: int, step: JobStep, job: Job, workshop: Workshop, units: str) -> StepLine:
    return StepLine(
        number=number,
        title=step.title if step.phase in (Phase.REMOVE, Phase.REFIT, Phase.AFTER) else "",
        text=page_step_text(step),
        watch_for=step.watch_for,
        side=STEP_SIDES[step.side],
        minutes="" if step.minutes == 0 else minutes(step.minutes),
        elsewhere=step.elsewhere,
        tools=tool_lines(_needed_now(step), workshop, units),
        torques=tuple(_torques(step, job.plan.titles, units)),
        cautions=tuple(workshop.hazards[code].title for code in step.hazards if code in workshop.hazards),
    )


def _needed_now(step: JobStep) -> list[Tool]:
    """On the way in nothing is tightened: no torque wrench is asked for."""
    to_tighten = (ToolKind.TORQUE_WRENCH, ToolKind.TORQUE_BEYOND)
    return [tool for tool in step.tools if step.phase != Phase.REMOVE or tool.kind not in to_tighten]


def _torques(step: JobStep, titles: Mapping[str, str], units: str) -> Iterable[TorqueLine]:
    for line in step.fasteners if step.phase != Phase.REMOVE else ():
        if line.torque_nm is not None or line.angle_deg is not None:
            yield _torque(line, titles, units)


def _torque(line: FastenerLine, titles: Mapping[str, str], units: str) -> TorqueLine:
    return TorqueLine(
        step=titles.get(line.operation, line.operation),
        what=fastener_words(line),
        count=line.count,
        drive=line.drive,
        usual=line.usual,
        set=None if line.torque_nm is None else torque(line.torque_nm, units),
        angle="" if line.angle_deg is None else f"{line.angle_deg.normalize():f}",
        at_ride_height=line.tighten_at == TightenAt.RIDE_HEIGHT,
        single_use=line.single_use,
        notes=fastener_notes(line),
    )
