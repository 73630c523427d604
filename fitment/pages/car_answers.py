"""One answer as the car's page shows it: verdict, why, how well it is known, and what goes with it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalog.selectors.part_lines import PartLine
from fitment.results import Basis, PlaceAnswer, Verdict
from fitment.wording import (
    basis_label,
    orientation_words,
    paper_words,
    reason_text,
    remark_words,
    rule_words,
    verdict_words,
)

from .dates import day_words
from .naming import Names, duty_words, status_words

# Steps of the scale that a basis reaches: a decision alone reaches none.
BASIS_STEPS = {
    Basis.FITTED: 5, Basis.FITTED_SIBLING: 4, Basis.CARRIED_OVER: 3, Basis.SAME_COMPONENT: 2, Basis.MEASURED: 1,
    Basis.DECLARED: 0,
}  # fmt: skip
_VERDICT_ORDER = list(Verdict)


@dataclass(frozen=True, slots=True)
class HoldView:
    batches: str
    look_for: str
    opened: str
    cause: str | None


@dataclass(frozen=True, slots=True)
class InternalView:
    revision: str
    status: str
    hold: bool
    verdict: str
    word: str


@dataclass(frozen=True, slots=True)
class AnswerView:
    """`facts` are pairs of a label and a text; `internal` is None to the public."""

    end: str | None
    location: str | None
    part: str
    title: str
    line: str
    href: str
    revision: str | None
    others: tuple[str, ...]
    verdict: str
    word: str
    why: tuple[str, ...]
    basis_steps: int
    basis: str
    warnings: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    holds: tuple[HoldView, ...]
    internal: tuple[InternalView, ...] | None


def answers_by_place(
    answers: Iterable[PlaceAnswer], parts: Mapping[str, PartLine], names: Names
) -> dict[tuple[str | None, str | None], list[AnswerView]]:
    """Answers by (end, location), the best news first; those of a part placed nowhere under (None, None)."""
    found: dict[tuple[str | None, str | None], list[AnswerView]] = {}
    for answer in sorted(answers, key=lambda each: (_VERDICT_ORDER.index(each.verdict), each.part)):
        found.setdefault((answer.end, answer.location), []).append(_view(answer, parts.get(answer.part), names))
    return found


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


def _view(answer: PlaceAnswer, part: PartLine | None, names: Names) -> AnswerView:
    kind = f"{part.technology}, for {duty_words(part.duty)}" if part else ""
    return AnswerView(
        end=answer.end,
        location=answer.location,
        part=answer.part,
        title=part.title if part else "",
        line=kind,
        href=f"/part/{answer.part}/",
        revision=answer.revision,
        others=answer.other_revisions,
        verdict=answer.verdict.value,
        word=verdict_words(
            answer.verdict, answer.undecided_by, {each: names.parameter(each) for each in answer.undecided_by}
        ),
        why=tuple(reason_text(reason) for reason in answer.reasons),
        basis_steps=BASIS_STEPS.get(answer.basis, 0) if answer.basis else 0,
        basis=basis_label(answer.basis) if answer.basis else "",
        warnings=tuple(remark_words(remark) for remark in answer.remarks),
        facts=tuple(_facts(answer)),
        holds=tuple(
            HoldView(batch_words(hold.batch_from, hold.batch_to), hold.look_for, day_words(hold.opened_on), hold.cause)
            for hold in answer.holds
        ),
        internal=None
        if answer.internal is None
        else tuple(
            InternalView(each.revision, status_words(each.status), each.hold, each.verdict.value,
                         verdict_words(each.verdict, ()))
            for each in answer.internal
        ),
    )  # fmt: skip


def _facts(answer: PlaceAnswer) -> Iterable[tuple[str, str]]:
    if answer.orientation is not None:
        yield "Turned", orientation_words(answer.orientation)
    for rule in answer.rules:
        yield "Rule", rule_words(rule)
    for paper in answer.papers:
        yield f"Papers, {paper.market}", paper_words(paper)
