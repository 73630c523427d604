"""The answer as plain text, to be copied into a letter. Pure.

It goes to a customer, so it is made of nothing that the public may not know.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from textwrap import fill

from catalog.codes import Verdict
from fitment.answers.fit import PlaceAnswer
from fitment.answers.job import JobPlan
from fitment.text.cautions import DEFERENCE
from fitment.text.fit import basis_words, batch_words, paper_words, reason_text

WIDTH = 76


@dataclass(frozen=True, slots=True)
class HandoutPart:
    """A part of the answer. `word`: the verdict; `notes`: why, how well it is known, holds."""

    code: str
    revision: str
    title: str
    place: str
    verdict: Verdict
    word: str
    notes: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Handout:
    """`job`: sentences; `orders`: (count or None, what, number)."""

    subject: str
    cars: str
    parts: Sequence[HandoutPart] = ()
    question: str = ""
    job: Sequence[str] = ()
    orders: Sequence[tuple[int | None, str, str]] = ()
    rules: Sequence[str] = ()
    source: str = ""
    links: Sequence[str] = field(default=())


def plain_text(answer: Handout) -> str:
    """The answer in lines of at most 76 signs, but for addresses and what cannot be broken.

    >>> part = HandoutPart("LM-211", "B", "Bush", "inner", Verdict.FITS, "Fits")
    >>> print(plain_text(Handout("QN4 18", "2 cars", [part])).split("The car")[0])
    QN4 18
    2 cars
    <BLANKLINE>
    LM-211 revision B, Bush, inner: fits
    <BLANKLINE>
    <BLANKLINE>
    """
    blocks = ["\n".join(line for line in (answer.subject, answer.cars) if line)]
    blocks += ["\n".join(_part(part)) for part in answer.parts]
    if answer.question:
        blocks.append(_wrapped(f"Still to be answered: {answer.question}"))
    blocks += [_wrapped(" ".join(answer.job))] if answer.job else []
    if answer.orders:
        blocks.append("\n".join(["To order", *_orders(answer.orders)]))
    blocks += [_wrapped(rule) for rule in answer.rules]
    blocks.append(_wrapped(DEFERENCE))
    blocks.append("\n".join((*answer.links, answer.source)).strip())
    return "\n\n".join(block for block in blocks if block) + "\n"


def cars_agree(count: int, *, settled: bool) -> str:
    """How many cars agree with what is stated; not `settled` where they are of several chassis."""
    if not settled:
        return f"{count} cars of several chassis agree with this."
    return "One car agrees with this." if count == 1 else f"{count} cars agree with this."


def answer_notes(answer: PlaceAnswer) -> Iterable[str]:
    """How well it is known, or why not; batches on hold; papers by market."""
    if answer.basis is not None:
        yield basis_words(answer.basis)
    else:
        yield from map(reason_text, answer.reasons)
    for hold in answer.holds:
        yield f"On hold: {batch_words(hold.batch_from, hold.batch_to)}. Look for: {hold.look_for}"
    for paper in answer.papers:
        yield f"Papers, {paper.market}: {paper_words(paper)}"


def job_sentences(
    plan: JobPlan, *, hours: str, hours_p80: str, grade: str, after_minutes: str, saved: str
) -> Iterable[str]:
    """What fitting takes, from the figures as the page of the job writes them."""
    some = f"{plan.observations} recorded job{'s' if plan.observations != 1 else ''}"
    known = f"an estimate on {some}" if plan.observations else "an estimate; no job is recorded yet"
    yield f"Fitting takes about {hours} h ({known}; four jobs of five are done within {hours_p80} h), grade {grade}."
    if plan.after:
        yield f"Afterwards {after_minutes} min: {', '.join(one.title.lower() for one in plan.after)}."
    if saved:
        yield f"Done together it takes {saved} min less than one job for each part."


def _part(part: HandoutPart) -> Iterable[str]:
    name = f"{part.code} revision {part.revision}" if part.revision else part.code
    what = ", ".join(each for each in (name, part.title, part.place) if each)
    yield _wrapped(f"{what}: {part.word[:1].lower()}{part.word[1:]}")
    yield from (_wrapped(note, indent="  ") for note in part.notes)


def _orders(orders: Iterable[tuple[int | None, str, str]]) -> Iterable[str]:
    for count, what, number in orders:
        amount = "as needed" if count is None else f"{count} x"
        yield _wrapped(", ".join(each for each in (f"{amount} {what}", number) if each), indent="  ")


def _wrapped(text: str, indent: str = "") -> str:
    return fill(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )
