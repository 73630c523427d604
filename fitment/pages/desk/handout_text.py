"""The answer as plain text, to be copied into a letter. Pure.

It goes to a customer, so it is made of nothing that the public may not know.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from textwrap import fill

from fitment.text.cautions import DEFERENCE

WIDTH = 76


@dataclass(frozen=True, slots=True)
class PartText:
    """`word`: the verdict; `notes`: why, how well it is known, holds."""

    code: str
    revision: str
    title: str
    place: str
    word: str
    notes: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class AnswerText:
    """`job`: sentences; `orders`: (count or None, what, number)."""

    subject: str
    cars: str
    parts: Sequence[PartText] = ()
    question: str = ""
    job: Sequence[str] = ()
    orders: Sequence[tuple[int | None, str, str]] = ()
    rules: Sequence[str] = ()
    source: str = ""
    links: Sequence[str] = field(default=())


def plain_text(answer: AnswerText) -> str:
    """The answer in lines of at most 76 signs, but for addresses and what cannot be broken.

    >>> part = PartText("LM-211", "B", "Bush", "inner", "Fits")
    >>> print(plain_text(AnswerText("QN4 18", "2 cars", [part])).split("The car")[0])
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


def _part(part: PartText) -> Iterable[str]:
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
