"""One answer as the car's page shows it: verdict, why, how well it is known, and what goes with it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Self

from catalog.codes import FOR_SALE_ONCE, Basis, Duty, Status
from catalog.models import Hold
from catalog.selectors.parts import PartLine
from fitment.answers.fit import HoldNote, Internal, PlaceAnswer
from fitment.pages.job.lines import JobLine, job_line
from fitment.services.jobs.planning import JobSummaries
from fitment.text.dates import day_words
from fitment.text.fit import (
    basis_label,
    batch_words,
    orientation_words,
    paper_words,
    reason_text,
    remark_words,
    rule_words,
    verdict_words,
)
from fitment.text.names import Names

NEWER_JOINT = "newer_joint"


@dataclass(frozen=True, slots=True)
class HoldView:
    """An open hold; `cause` is for staff, `part` and `revision` stand where it is listed among others."""

    batches: str
    look_for: str
    opened: str
    cause: str | None
    part: str = ""
    revision: str = ""

    @property
    def href(self) -> str:
        """The list of cars to call."""
        return f"/desk/hold/{self.part}/{self.revision}/"

    @classmethod
    def of(cls, hold: HoldNote | Hold, part: str = "", revision: str = "") -> Self:
        words = batch_words(hold.batch_from, hold.batch_to)
        return cls(words, hold.look_for, day_words(hold.opened_on), hold.cause, part, revision)


@dataclass(frozen=True, slots=True)
class InternalView:
    """`sold`: it is for sale, or was."""

    revision: str
    status: str
    hold: bool
    verdict: str
    word: str
    sold: bool = True


@dataclass(frozen=True, slots=True)
class AnswerView:
    """`facts` are labels with texts; `newer_joints` warn of the joint, so its place says them once.

    `internal` is None to the public.
    """

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
    remarks: tuple[str, ...]
    newer_joints: tuple[str, ...]
    facts: tuple[tuple[str, tuple[str, ...]], ...]
    holds: tuple[HoldView, ...]
    internal: tuple[InternalView, ...] | None
    job: JobLine | None = None


def answers_by_place(
    answers: Iterable[PlaceAnswer], parts: Mapping[str, PartLine], names: Names, jobs: JobSummaries
) -> dict[tuple[str | None, str | None], list[AnswerView]]:
    """Answers by (end, location), the best news first; those of a part placed nowhere under (None, None)."""
    found: dict[tuple[str | None, str | None], list[AnswerView]] = {}
    for answer in sorted(answers, key=lambda each: (each.verdict.rank, each.part)):
        found.setdefault((answer.end, answer.location), []).append(_view(answer, parts.get(answer.part), names, jobs))
    return found


def _view(answer: PlaceAnswer, part: PartLine | None, names: Names, jobs: JobSummaries) -> AnswerView:
    kind = f"{part.technology}, for {Duty.word_of(part.duty)}" if part else ""
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
        word=verdict_words(answer.verdict, answer.undecided_by),
        why=tuple(_why(answer)),
        basis_steps=_steps(answer.basis),
        basis=basis_label(answer.basis, answer.carried_from) if answer.basis else "",
        remarks=tuple(remark_words(remark) for remark in answer.remarks if remark.code != NEWER_JOINT),
        newer_joints=tuple(remark_words(remark) for remark in answer.remarks if remark.code == NEWER_JOINT),
        facts=tuple(_facts(answer, names)),
        holds=tuple(map(HoldView.of, answer.holds)),
        job=_job(answer, jobs),
        internal=None if answer.internal is None else tuple(map(_internal, answer.internal)),
    )


def _internal(one: Internal) -> InternalView:
    sold = one.status in FOR_SALE_ONCE
    return InternalView(
        one.revision, Status.word_of(one.status), one.hold, one.verdict.value, verdict_words(one.verdict), sold
    )


def _steps(basis: Basis | None) -> int:
    """The steps of the scale that a basis reaches: a decision alone reaches none."""
    return len(Basis) - 1 - basis.rank if basis else 0


def _job(answer: PlaceAnswer, jobs: JobSummaries) -> JobLine | None:
    """The figures of fitting it; nothing where no car is left that it may fit."""
    if answer.revision is None or answer.end is None or answer.location is None:
        return None
    return job_line(jobs.get((answer.part, answer.end, answer.location)))


def _why(answer: PlaceAnswer) -> Iterable[str]:
    """The sentence of each reason; where several cars are left, which of them it is about."""
    first, *others = [reason_text(reason) for reason in answer.reasons] or [""]
    if not others:
        yield first
        return
    yield f"For some of these cars: {_lower(first)}"
    yield from (f"For others: {_lower(other)}" for other in others)


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def _facts(answer: PlaceAnswer, names: Names) -> Iterable[tuple[str, tuple[str, ...]]]:
    if answer.undecided_by:
        yield "Depends on", tuple(names.parameter(each) for each in answer.undecided_by)
    if answer.orientation is not None:
        yield "Turned", (orientation_words(answer.orientation),)
    if answer.rules:
        yield "Rules", tuple(rule_words(rule) for rule in answer.rules)
    for market in dict.fromkeys(paper.market for paper in answer.papers):
        yield f"Papers, {market}", tuple(paper_words(paper) for paper in answer.papers if paper.market == market)
