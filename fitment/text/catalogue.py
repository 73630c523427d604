"""Words of the editor's pages: states of long work, answers that change, what contradicts itself. Pure."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from catalog.codes import Basis, DownloadState, UploadState, Verdict
from catalog.windows import write_from
from fitment.domain.facts import FitDecision, Joint
from fitment.text.fit import basis_label, verdict_words

STATES: dict[str, str] = {
    UploadState.WAITING: "Waiting for the worker",
    UploadState.CHECKING: "Being checked",
    UploadState.CHECKED: "Checked, not loaded",
    UploadState.REFUSED: "Refused",
    UploadState.LOADING: "Being loaded",
    UploadState.LOADED: "Loaded",
    UploadState.MOVED: "Overtaken by another edition",
    UploadState.FAILED: "Failed",
    DownloadState.WRITING: "Being written",
    DownloadState.READY: "Ready",
}
"""The states of workbooks handed in and of those to take away."""

CHANGE_KINDS = (
    ("lost", "fits less than before"),
    ("won", "fits more than before"),
    ("other", "only revision or evidence changes"),
)
NO_FILE = "Choose an .xlsx file, or a zip of .csv files."

GAP_KINDS = {
    "joints": (
        "Original joints that contradict each other",
        "Several joint rows hold for one car and are not all marked as alternatives; it is answered 'not known'.",
    ),
    "decisions": (
        "Decisions that contradict each other",
        "One revision is approved and rejected for one component on the same car; the rejection wins.",
    ),
    "unreached": (
        "Decisions that no car reaches",
        "No possible car has the component under these conditions, so the decision is never heard.",
    ),
    "components": (
        "Locations in our range without a component",
        "Cars with this axle are answered 'not known' here, whatever we sell.",
    ),
    "measurements": (
        "Components without a measurement that an approval rests on",
        "The approval stands on drawings or on trust alone.",
    ),
    "numbers": ("Numbers that stand for nothing", "Whoever asks by this number gets no joint and no upgrade."),
    "ways": ("Joints we sell for without a way in", "The part fits, but no job can be planned."),
    "unseen": ("Not looked through", "These cars may have conflicts that are not listed."),
}
"""Kinds of what is amiss: the heading, and why it matters."""


def first_upper(text: str) -> str:
    """
    >>> first_upper("the sheet is missing")
    'The sheet is missing'
    """
    return text[:1].upper() + text[1:]


def counted(done: int, total: int) -> str:
    """How far long work has come.

    >>> counted(1200, 4000), counted(7, 0), counted(0, 0)
    ('1,200 of 4,000', '7', '')
    """
    if total:
        return f"{done:,} of {total:,}"
    return f"{done:,}" if done else ""


def stage_words(work_stage: str, state: str) -> str:
    return first_upper(work_stage or ("in the queue" if state == UploadState.WAITING else "beginning"))


def answer_words(answer: Mapping[str, Any] | None) -> tuple[str, str]:
    """Verdict and basis of one side of a change.

    >>> answer_words({"verdict": "fits", "revision": "B", "basis": "fitted"}), answer_words(None)
    (('Fits', 'tried on this car'), ('Not listed', ''))
    """
    if answer is None:
        return "Not listed", ""
    basis = answer.get("basis")
    return verdict_words(Verdict(answer["verdict"])), basis_label(Basis(basis)) if basis else ""


def job_minutes_words(minutes: float | None) -> str:
    return "No job" if minutes is None else f"{minutes:.0f} min"


def sheets_words(names: Sequence[str]) -> str:
    """The sheets that an edition changed, by name where they are few."""
    return f"{len(names)} sheets" if len(names) > 3 else ", ".join(names)


def no_number_words(text: str) -> str:
    return f"'{text[:20]}' is not the number of an edition. Write a whole number."


def no_edition_words(number: int, newest: int) -> str:
    return f"There is no edition {number}. The newest is {newest}."


def listed_words(codes: Sequence[str]) -> str:
    """
    >>> listed_words(["A"]), listed_words(["A", "B", "C"])
    ('A', 'A, B and C')
    """
    return codes[0] if len(codes) == 1 else ", ".join(codes[:-1]) + " and " + codes[-1]


def conflict_words(title: str, components: Sequence[str]) -> str:
    return f"{first_upper(title)}: {listed_words(components)} at once. Narrow one, or mark all as alternatives."


def joint_words(joint: Joint) -> str:
    """A joint row in few words: its component, and what tells it from other rows of that component."""
    first = f" from {first_day(joint.window.first)}" if joint.window.first else ""
    return f"{joint.component}{first}" + (f" where {joint.conditions}" if joint.conditions else "")


def first_day(day: date | None) -> str:
    """The first day of a window, as the workbook writes it."""
    return write_from(day) if day else ""


def no_component_words(title: str, *, every: bool) -> str:
    which = "no car has a component recorded" if every else "some cars have no component recorded"
    return f"{first_upper(title)}: {which}."


def no_way_words(title: str, components: Sequence[str], *, has_operations: bool) -> str:
    text = f"{first_upper(title)}: {listed_words(components)} can be replaced, no way leads there."
    return text if has_operations else f"{text} No operation of the axle is recorded."


def contradiction_words(approval: FitDecision, rejection: FitDecision) -> str:
    return f"Approved {decision_words(approval)}, rejected {decision_words(rejection)}."


def unreached_words(decision: FitDecision) -> str:
    return f"{decision.decision.capitalize()} {decision_words(decision)}."


def decision_words(decision: FitDecision) -> str:
    conditions = str(decision.conditions)
    return f"on {decision.decided_on.isoformat()}, " + (f"where {conditions}" if conditions else "without conditions")


def unmeasured_words(parts: Sequence[str]) -> str:
    return f"{listed_words(parts)} approved for it."


def number_words(issuer: str, kind: str) -> str:
    return f"Issued by {issuer}; kind {kind}."


UNSEEN = "Too many possibilities to look through; fewer free options would help."
