"""The steps, tools, torques and orders of a job as lists of lines."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby

from catalog.codes import Phase, TightenAt, ToolKind
from fitment.answers.job import FastenerLine, Job, JobStep, Tool
from fitment.domain.procedures import Workshop
from fitment.pages.job.figures import minutes
from fitment.pages.job.units import IMPERIAL, Figure, length, torque
from fitment.text.job import phase_words, step_text, tool_words

_SIDES = {"left": "left", "right": "right", "both": "left and right"}


@dataclass(frozen=True, slots=True)
class TorqueLine:
    """A fastener of the torque table; `set` is empty where no torque is recorded."""

    step: str
    what: str
    count: int
    drive: str
    usual: bool
    set: Figure | None
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


def phases(job: Job, workshop: Workshop, units: str) -> tuple[PhaseSection, ...]:
    """The steps by phase, numbered through."""
    numbered = list(enumerate(job.plan.steps, start=1))
    return tuple(
        PhaseSection(
            name, phase_words(name), tuple(_step(number, step, job, workshop, units) for number, step in members)
        )
        for name, members in ((name, list(group)) for name, group in groupby(numbered, key=lambda each: each[1].phase))
    )


def step_numbers(job: Job) -> dict[str, int]:
    """The first step in which each operation is met."""
    found: dict[str, int] = {}
    for number, step in enumerate(job.plan.steps, start=1):
        if step.operation is not None:
            found.setdefault(step.operation, number)
    return found


def torque_table(job: Job, units: str) -> tuple[TorqueLine, ...]:
    """All fasteners with a torque or an angle, in the order in which they are tightened."""
    tightened = [
        line
        for step in job.plan.steps
        if step.phase != Phase.REMOVE
        for line in step.fasteners
        if line.torque_nm is not None or line.angle_deg is not None
    ]
    return tuple(_torque(line, job.plan.titles, units) for line in tightened)


def tool_lines(tools: Iterable[Tool], workshop: Workshop, units: str) -> tuple[str, ...]:
    titles = {code: piece.title for code, piece in workshop.equipment.items()}
    lines = []
    for tool in tools:
        if units == IMPERIAL and tool.kind == ToolKind.TORQUE_WRENCH:
            least, most = (torque(int(each), units).value for each in tool.code.split("-"))
            lines.append(f"torque wrench {least}-{most} lb ft")
        elif units == IMPERIAL and tool.kind == ToolKind.TORQUE_BEYOND:
            lines.append(tool_words(tool.kind, tool.code, tool.usual))
        else:
            lines.append(tool_words(tool.kind, tool.code, tool.usual, titles))
    return tuple(lines)


def press_lines(job: Job, units: str) -> tuple[tuple[str, tuple[tuple[str, Figure], ...]], ...]:
    """Press tools by part: what each piece measures."""
    found = []
    for tools in job.plan.press_tools:
        sizes = (
            ("pusher, outside at most", tools.pusher_outside_mm),
            ("receiving cup, inside at least", tools.cup_inside_mm),
            ("receiving cup, outside at most", tools.cup_outside_mm),
        )
        rows = [(label, length(size, units)) for label, size in sizes if size is not None]
        if tools.press_kn is not None:
            rows.append(("press rated for", Figure(str(tools.press_kn), "kN")))
        if rows:
            found.append((tools.part, tuple(rows)))
    return tuple(found)


def order_lines(job: Job, workshop: Workshop) -> tuple[tuple[str, str, int | None], ...]:
    """What to order: what, its number or code, how many (None: as needed)."""
    order = job.plan.to_order
    lines: list[tuple[str, str, int | None]] = [
        (f"Kit, {one.pieces} piece{'s' if one.pieces > 1 else ''} needed", f"{one.part} {one.revision}", one.kits)
        for one in order.kits
    ]
    for one in order.fasteners:
        title = job.plan.titles.get(one.operation, one.operation)
        lines.append((f"Single-use fastener of: {title}", one.number or "no number recorded", one.count))
    for code in order.consumables:
        piece = workshop.equipment.get(code)
        lines.append((piece.title if piece else code, "", None))
    return tuple(lines)


def _step(number: int, step: JobStep, job: Job, workshop: Workshop, units: str) -> StepLine:
    text = f"Tighten what was slackened for: {step.title}" if step.phase == Phase.RIDE_HEIGHT else step_text(step)
    return StepLine(
        number=number,
        title=step.title if step.phase in (Phase.REMOVE, Phase.REFIT, Phase.AFTER) else "",
        # A step is undone as it was done; its text is about the way in.
        text=text if text != step.title and step.phase != Phase.REFIT else "",
        watch_for=step.watch_for,
        side=_SIDES.get(step.side or "", ""),
        minutes="" if step.minutes == 0 else minutes(step.minutes),
        elsewhere=step.elsewhere,
        tools=tool_lines(_needed_now(step), workshop, units),
        torques=tuple(
            _torque(line, job.plan.titles, units)
            for line in step.fasteners
            if step.phase != Phase.REMOVE and (line.torque_nm is not None or line.angle_deg is not None)
        ),
        cautions=tuple(
            workshop.hazards[code].title for code in step.hazards if code in workshop.hazards
        ),
    )  # fmt: skip


def _needed_now(step: JobStep) -> list[Tool]:
    """On the way in nothing is tightened: no torque wrench is asked for."""
    return [
        tool
        for tool in step.tools
        if step.phase != Phase.REMOVE or tool.kind not in (ToolKind.TORQUE_WRENCH, ToolKind.TORQUE_BEYOND)
    ]


def _torque(line: FastenerLine, titles: Mapping[str, str], units: str) -> TorqueLine:
    kind = ", ".join(each for each in (line.thread, line.grade, line.head.replace("_", " ")) if each)
    notes = [line.locking, line.note, f"counter-hold {line.counter_hold}" if line.counter_hold else ""]
    return TorqueLine(
        step=titles.get(line.operation, line.operation),
        what=kind or line.fastener,
        count=line.count,
        drive=line.drive,
        usual=line.usual,
        set=None if line.torque_nm is None else torque(line.torque_nm, units),
        angle="" if line.angle_deg is None else f"{line.angle_deg.normalize():f}",
        at_ride_height=line.tighten_at == TightenAt.RIDE_HEIGHT,
        single_use=line.single_use,
        notes=tuple(note for note in notes if note),
    )
