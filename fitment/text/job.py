"""The words for the codes of a job, shared by API and pages. Pure."""

from collections.abc import Mapping

from catalog.codes import Phase
from fitment.answers.job import JobStep

_SIDES = {"left": "on the left", "right": "on the right", "both": "on both sides"}
_PHASES = {
    "remove": "Way in",
    "fit": "Fit",
    "refit": "Refit, each step undone",
    "ride_height": "At ride height",
    "after": "After-work",
}
_TOOL_KINDS = {
    "equipment": "{}",
    "drive": "{} socket",
    "counter_hold": "{} to counter-hold",
    "torque_wrench": "torque wrench {} N m",
    "torque_beyond": "torque of {} N m: beyond the usual wrenches",
}


def phase_words(phase: str) -> str:
    """The heading of a phase."""
    return _PHASES[phase]


def step_text(step: JobStep) -> str:
    """What a step says: its own text, or a sentence for those that the product adds.

    >>> step_text(JobStep("ride_height", "F1/arm", "Arm bolt", "", "", None, None))
    'Lower the car to its ride height, then tighten: arm bolt.'
    """
    if step.phase == Phase.FIT:
        pieces = "1 piece" if step.pieces == 1 else f"{step.pieces} pieces"
        where = step.title or step.place
        side = f" {_SIDES[step.side]}" if step.side else ""
        bench = " The bench work is done elsewhere." if step.minutes is None else ""
        return f"Fit {step.part} at {where}{side}: {pieces}.{bench}"
    if step.phase == Phase.RIDE_HEIGHT:
        return f"Lower the car to its ride height, then tighten: {step.title[:1].lower()}{step.title[1:]}."
    return step.text or step.title


def tool_words(kind: str, code: str, usual: bool, titles: Mapping[str, str] | None = None) -> str:
    """A tool in words; `titles` names equipment.

    >>> tool_words("drive", "18 hex", True)
    '18 hex socket (usual for the thread, not recorded)'
    """
    name = (titles or {}).get(code, code) if kind == "equipment" else code
    return _TOOL_KINDS[kind].format(name) + (" (usual for the thread, not recorded)" if usual else "")


def cause_words(cause: str, titles: Mapping[str, str] | None = None) -> str:
    """What sets a grade, in words; `titles` by operation, equipment, hazard and part.

    >>> cause_words("skill:F1/arm_off", {"F1/arm_off": "Arm off"}), cause_words("time")
    ('the skill that "Arm off" asks for', 'the time that one side takes')
    """
    kind, _, code = cause.partition(":")
    name = (titles or {}).get(code, code)
    return {
        "skill": f'the skill that "{name}" asks for',
        "bench": f"the bench work on {name}",
        "equipment": f"the use of: {name}",
        "hazard": f"the danger: {name}",
        "alignment": "the wheel alignment that follows",
        "time": "the time that one side takes",
    }[kind]
