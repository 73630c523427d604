"""The words and figures of a job, shared by API and pages. Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalog.codes import EquipmentSet, GradeCause, Phase, Side, ToolKind, Units
from catalog.units import inches, lb_ft, rounded
from fitment.answers.job import FastenerLine, Home, JobStep, Kits, PressTools, Tool

GRADES = {
    1: "with a first set of tools",
    2: "with some practice",
    3: "an experienced fitter",
    4: "a workshop",
    5: "a specialist",
}
EQUIPMENT_CHOICES: dict[str, str] = {
    EquipmentSet.SHOP: "a workshop with everything",
    EquipmentSet.HOME: "a home garage",
}
SIDES_DONE = {Side.LEFT: "left side only", Side.RIGHT: "right side only", Side.BOTH: "both sides"}
STEP_SIDES = {None: "", Side.LEFT: "left", Side.RIGHT: "right", Side.BOTH: "left and right"}
NO_NUMBER = "no number recorded"
_FIT_SIDES = {None: "", Side.LEFT: " on the left", Side.RIGHT: " on the right", Side.BOTH: " on both sides"}
_TOOLS = {
    ToolKind.EQUIPMENT: "{}",
    ToolKind.DRIVE: "{} socket",
    ToolKind.COUNTER_HOLD: "{} to counter-hold",
    ToolKind.TORQUE_WRENCH: "torque wrench {} N m",
    ToolKind.TORQUE_BEYOND: "torque of {} N m: beyond the usual wrenches",
}
_CAUSES = {
    GradeCause.SKILL: 'the skill that "{}" asks for',
    GradeCause.BENCH: "the bench work on {}",
    GradeCause.EQUIPMENT: "the use of: {}",
    GradeCause.HAZARD: "the danger: {}",
    GradeCause.ALIGNMENT: "the wheel alignment that follows",
    GradeCause.TIME: "the time that one side takes",
}
# A torque wrench in lb ft is read to half a mark; below this a decimal is worth having.
_DECIMAL_BELOW_LB_FT = 20
_NO_TITLES: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class FigureInUnits:
    value: str
    unit: str


def hours(value: float) -> str:
    """Hours of the trade, to the tenth.

    >>> hours(1.2000000000000002)
    '1.2'
    """
    return f"{value:.1f}"


def minutes(value: Fraction | float | None) -> str:
    """Whole minutes; a dash where the work is done elsewhere.

    >>> minutes(Fraction(137, 2)), minutes(None)
    ('69', '-')
    """
    return "-" if value is None else str(int(float(value) + 0.5))


def torque(value_nm: Decimal | int, units: str) -> FigureInUnits:
    """A torque as it is set on the wrench.

    >>> torque(Decimal("110"), "metric"), torque(Decimal("110"), "imperial")
    (FigureInUnits(value='110', unit='N m'), FigureInUnits(value='81', unit='lb ft'))
    """
    if units == Units.METRIC:
        return FigureInUnits(_plain(Decimal(value_nm)), "N m")
    figure = lb_ft(value_nm)
    return FigureInUnits(str(rounded(figure, 1 if figure < _DECIMAL_BELOW_LB_FT else 0)), "lb ft")


def length(value_mm: Decimal | int, units: str) -> FigureInUnits:
    """A size in whole millimetres, or inches to two hundredths of a millimetre.

    >>> length(61, "metric"), length(61, "imperial")
    (FigureInUnits(value='61', unit='mm'), FigureInUnits(value='2.402', unit='in'))
    """
    if units == Units.METRIC:
        return FigureInUnits(_plain(Decimal(value_mm)), "mm")
    return FigureInUnits(str(rounded(inches(value_mm), 3)), "in")


def step_text(step: JobStep) -> str:
    """What a step says: its own text, or a sentence for those that the product adds.

    >>> step_text(JobStep("ride_height", "F1/arm", "Arm bolt", "", "", None, None))
    'Lower the car to its ride height, then tighten: arm bolt.'
    """
    match step.phase:
        case Phase.FIT:
            pieces = "1 piece" if step.pieces == 1 else f"{step.pieces} pieces"
            bench = " The bench work is done elsewhere." if step.minutes is None else ""
            return f"Fit {step.part} at {step.title or step.place}{_FIT_SIDES[step.side]}: {pieces}.{bench}"
        case Phase.RIDE_HEIGHT:
            return f"Lower the car to its ride height, then tighten: {step.title[:1].lower()}{step.title[1:]}."
    return step.text or step.title


def page_step_text(step: JobStep) -> str:
    """What a step says under its title: a step is undone as it was done, and its text is about the way in."""
    if step.phase == Phase.RIDE_HEIGHT:
        return f"Tighten what was slackened for: {step.title}"
    text = step_text(step)
    return "" if text == step.title or step.phase == Phase.REFIT else text


def tool_words(tool: Tool, titles: Mapping[str, str] = _NO_TITLES, units: str = Units.METRIC) -> str:
    """A tool in words; `titles` names equipment.

    >>> tool_words(Tool(ToolKind.DRIVE, "18 hex", True))
    '18 hex socket (usual for the thread, not recorded)'
    >>> tool_words(Tool(ToolKind.TORQUE_WRENCH, "20-100"), units="imperial")
    'torque wrench 14.8-74 lb ft'
    """
    if units == Units.IMPERIAL and tool.kind == ToolKind.TORQUE_WRENCH:
        return f"torque wrench {'-'.join(torque(int(limit), units).value for limit in tool.code.split('-'))} lb ft"
    name = titles.get(tool.code, tool.code) if tool.kind == ToolKind.EQUIPMENT else tool.code
    return _TOOLS[tool.kind].format(name) + (" (usual for the thread, not recorded)" if tool.usual else "")


def press_figures(tools: PressTools, units: str) -> list[tuple[str, FigureInUnits]]:
    """What each press tool measures, as far as known."""
    sizes = (
        ("pusher, outside at most", tools.pusher_outside_mm),
        ("receiving cup, inside at least", tools.cup_inside_mm),
        ("receiving cup, outside at most", tools.cup_outside_mm),
    )
    figures = [(label, length(size, units)) for label, size in sizes if size is not None]
    if tools.press_kn is not None:
        figures.append(("press rated for", FigureInUnits(str(tools.press_kn), "kN")))
    return figures


def fastener_words(fastener: FastenerLine) -> str:
    """Thread, grade and head, as far as recorded; else the code."""
    known = (fastener.thread, fastener.grade, fastener.head.replace("_", " "))
    return ", ".join(filter(None, known)) or fastener.fastener


def fastener_notes(fastener: FastenerLine) -> tuple[str, ...]:
    counter_hold = f"counter-hold {fastener.counter_hold}" if fastener.counter_hold else ""
    return tuple(filter(None, (fastener.locking, fastener.note, counter_hold)))


def kit_words(kits: Kits) -> str:
    return f"Kit, {kits.pieces} piece{'s' if kits.pieces > 1 else ''} needed"


def single_use_words(operation: str) -> str:
    return f"Single-use fastener of: {operation}"


def home_words(home: Home) -> str:
    """Whether it can be done at home, and what of it cannot."""
    if not home.possible:
        return "Not at home"
    elsewhere = ["the bench work"] * bool(home.bench_elsewhere) + ["part of the after-work"] * bool(home.elsewhere)
    return f"At home, but {' and '.join(elsewhere)} elsewhere" if elsewhere else "Also at home"


def cause_words(cause: str, titles: Mapping[str, str] = _NO_TITLES) -> str:
    """What sets a grade, in words; `titles` by operation, equipment, hazard and part.

    >>> cause_words("skill:F1/arm_off", {"F1/arm_off": "Arm off"}), cause_words("time")
    ('the skill that "Arm off" asks for', 'the time that one side takes')
    """
    kind, _, code = cause.partition(":")
    return _CAUSES[GradeCause(kind)].format(titles.get(code, code))


def way_minutes(value: Fraction | None) -> str:
    """The minutes of a step in the graph of the way in."""
    return "elsewhere" if value is None else f"{minutes(value)} min"


def extra_words(extra_minutes: Fraction | None, lacking: Sequence[str]) -> str:
    """What a way not taken would add, or the equipment that it lacks."""
    if extra_minutes is not None:
        return f"{minutes(extra_minutes)} min more"
    return f"not without {', '.join(lacking)}"


def joined_words(words: Sequence[str]) -> str:
    """Words with commas and an 'and' before the last.

    >>> joined_words(["a", "b", "c"]), joined_words(["a"])
    ('a, b and c', 'a')
    """
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else words[0]


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
