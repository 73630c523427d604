"""The words for the codes of an answer, in customers' plain English; shared by API and pages. Pure."""

from collections.abc import Mapping, Sequence

from catalog.codes import Basis, Reason, Rule, Verdict
from fitment.answers.fit import NextQuestion, Orientation, Paper, Remark, RuleNote

_REASONS: Mapping[Reason, str] = {
    Reason.APPROVED: "Approved by our engineers for the original joint at this place.",
    Reason.REJECTED: "Our engineers judged it against the original joint here and turned it down.",
    Reason.UNDECIDED: "Nobody here has decided yet whether it may replace the original joint at this place.",
    Reason.UNDER_REVIEW: "A test on a car failed; the approval is under review until that is answered.",
    Reason.NO_AXLE: "We have not recorded which axle this car has at this end.",
    Reason.NO_SUCH_LOCATION: "The suspension of this car has no joint at this place.",
    Reason.NO_COMPONENT: "We have not recorded which original joint sits at this place of this car.",
    Reason.CONFLICT: "Our records name different original joints for this place; we are clearing that up.",
}
_BASES: Mapping[Basis, str] = {
    Basis.FITTED: "Tried and passed on a car like this one.",
    Basis.FITTED_SIBLING: "Tried and passed on a sister car with another drivetrain or steering side.",
    Basis.CARRIED_OVER: "An earlier revision was tried and passed; this one may replace it.",
    Basis.SAME_COMPONENT: "Tried and passed with the same original joint on another axle; the seat is proven, the "
    "clearance on this axle is not.",
    Basis.MEASURED: "The measured sizes work out; not yet tried on this car.",
    Basis.DECLARED: "Approved, not yet tried on this car.",
}
_DEPENDS_ON: Mapping[str, str] = {
    "maker": "the maker",
    "chassis": "the chassis",
    "steering": "the side of the steering wheel",
    "body": "the body",
    "drivetrain": "the drivetrain",
    "engine": "the engine",
    "designation": "the designation",
    "market": "the market",
    "built": "when the car was built",
    "variant": "which of the cars it is",
}
_QUESTIONS: Mapping[str, str] = {
    "maker": "Which maker?",
    "chassis": "Which chassis code?",
    "steering": "On which side is the steering wheel?",
    "body": "Which body?",
    "drivetrain": "Which wheels are driven?",
    "engine": "Which engine?",
    "designation": "Which designation?",
    "market": "For which market was the car built?",
    "built": "When was the car built?",
    "variant": "Which of these cars is it?",
}
_RULES: Mapping[str, str] = {
    Rule.REQUIRES: "Needs {other} as well.",
    Rule.EXCLUDES: "Not together with {other}.",
    Rule.SAME_REVISION: "Fit the same revision on both sides.",
    Rule.IN_PAIRS: "Replace on both sides, in pairs.",
}


def verdict_words(verdict: Verdict, undecided_by: Sequence[str] = ()) -> str:
    """A verdict in a few words, with the kinds of attributes it depends on.

    >>> verdict_words(Verdict.DEPENDS, ("engine", "option.RIDE", "option.TOW"))
    'Depends on the engine and on its equipment'
    """
    words = verdict.word
    if verdict is not Verdict.DEPENDS or not undecided_by:
        return words
    return f"{words} on " + " and on ".join(dict.fromkeys(map(_depends_on, undecided_by)))


def _depends_on(attribute: str) -> str:
    if attribute.startswith("component."):
        return "which original joint it has"
    return _DEPENDS_ON.get(attribute, "its equipment")


def reason_text(reason: Reason) -> str:
    """The sentence for a reason."""
    return _REASONS[reason]


def reasons_text(reasons: Sequence[Reason] | None) -> str:
    """Why a part is not in a job; None where no place is decided for it."""
    return "Nobody has decided where it may be fitted." if reasons is None else " ".join(map(reason_text, reasons))


def basis_words(basis: Basis) -> str:
    """The sentence for how well a 'fits' is known."""
    return _BASES[basis]


def basis_label(basis: Basis, carried_from: Sequence[str] = ()) -> str:
    """How well a 'fits' is known, as a step of the scale, with the letters it is carried over from where known.

    >>> basis_label(Basis.FITTED), basis_label(Basis.CARRIED_OVER, ["B"])
    ('tried on this car', 'carried over from B')
    """
    if basis is Basis.CARRIED_OVER and carried_from:
        return f"carried over from {' and '.join(carried_from)}"
    return basis.word


def question_text(question: NextQuestion) -> str:
    """The question in words; `title` is what the option or the joint's place is called.

    >>> question_text(NextQuestion("engine", ()))
    'Which engine?'
    """
    kind, _, rest = question.attribute.partition(".")
    if kind == "option":
        return f"Does the car have: {question.title or rest}?"
    if kind == "component":
        end, _, location = rest.partition(".")
        return f"Which original joint is fitted at the {end}: {question.title or location}?"
    return _QUESTIONS[question.attribute]


def orientation_words(orientation: Orientation) -> str:
    """How the part is turned when it goes in.

    >>> orientation_words(Orientation("90", "the notch"))
    '90 degrees from the notch'
    """
    return f"{orientation.deg} degrees from {orientation.mark or 'the mark'}"


def remark_words(remark: Remark) -> str:
    """A remark as a sentence; what to look at follows a warning of a newer joint."""
    if remark.code == "newer_joint":
        look = (
            f" What to look at: {remark.text.rstrip('.')}." if remark.text else " Compare the part number on the arm."
        )
        return f"An arm replaced since may carry the newer joint {remark.newer} in place of {remark.component}.{look}"
    return remark.text


def paper_words(paper: Paper) -> str:
    """An approval or report in a line."""
    parts = [paper.kind.replace("_", " "), paper.reference]
    if paper.valid_to is not None:
        parts.append(f"valid to {paper.valid_to.isoformat()}")
    if paper.conditions:
        parts.append(paper.conditions)
    return ", ".join(parts)


def rule_words(rule: RuleNote) -> str:
    """What a part asks of others, in a sentence."""
    sentence = _RULES[rule.rule].format(other=rule.other or "another part")
    return f"{sentence} {rule.note}" if rule.note else sentence


def batch_words(batch_from: str, batch_to: str) -> str:
    """Which pieces a hold is about.

    >>> batch_words("2209", "2212"), batch_words("", "")
    ('batches 2209 to 2212', 'every batch')
    """
    if not batch_from and not batch_to:
        return "every batch"
    if batch_from == batch_to:
        return f"batch {batch_from}"
    if not batch_to:
        return f"batches from {batch_from} on"
    return f"batches {batch_from} to {batch_to}" if batch_from else f"batches up to {batch_to}"
