"""The answers on the desk: a line a part, by joint, each with the key that puts it into the basket."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from catalog.codes import End, Verdict
from catalog.selectors.parts import PartLine
from fitment.answers.fit import Answer, PlaceAnswer
from fitment.pages.car.answers import AnswerView, InternalView, answers_by_place
from fitment.pages.desk.state import DeskState
from fitment.query.job_parameters import PartAsked
from fitment.text.fit import verdict_words
from fitment.text.names import Names

# Letters that stand for something else on the desk: copy, log, new caller, print.
COMMANDS = "clnp"
LETTERS = [letter for letter in "abcdefghijklmnopqrstuvwxyz" if letter not in COMMANDS]


@dataclass(frozen=True, slots=True)
class DeskAnswer:
    """An answer, and the address that adds it to the basket or takes it out; `id` stays the same for both."""

    view: AnswerView
    id: str
    key: str
    href: str
    taken: bool

    @property
    def word(self) -> str:
        """The verdict alone; what it depends on stands in the note."""
        return verdict_words(Verdict(self.view.verdict))

    @property
    def note(self) -> str:
        """What it depends on, how well it is known or why not, and what engineers remarked, in short sentences."""
        depends = self.view.word[len(self.word) :].strip()
        known = self.view.basis if self.view.revision else "" if self.view.remarks else self.view.why[0]
        texts = (each.strip().rstrip(".") for each in (depends, known, *self.view.remarks))
        return "".join(f"{text[:1].upper()}{text[1:]}. " for text in texts if text).strip()

    @property
    def internal(self) -> list[InternalView]:
        """Revisions that are not for sale and may fit one day, and those on hold."""
        return [row for row in self.view.internal or () if row.verdict != "does_not_fit" and (row.hold or not row.sold)]


@dataclass(frozen=True, slots=True)
class DeskJoint:
    end: str
    location: str
    title: str
    lines: tuple[DeskAnswer, ...]
    unknown: str = ""

    @property
    def place(self) -> str:
        return f"{self.end}.{self.location}"

    @property
    def end_title(self) -> str:
        return End.word_of(self.end)

    @property
    def nothing_fits(self) -> bool:
        return not any(line.view.revision for line in self.lines)


def joints_of(
    answer: Answer, parts: dict[str, PartLine], called: Names, desk: DeskState, asked: Sequence[PartAsked]
) -> tuple[DeskJoint, ...]:
    """Joints with an answer or without a recorded original joint, front to rear; letters in that order."""
    by_place = answers_by_place(answer.answers, parts, called, {})
    unknown = {(each.end, each.location): each.where for each in answer.unknown_locations}
    placed = [(end, code) for end, code in by_place if end is not None and code is not None]
    letters = iter(LETTERS)
    return tuple(
        DeskJoint(
            end=end,
            location=code,
            title=called.location(end, code),
            lines=tuple(_line(view, desk, asked, letters) for view in by_place.get((end, code), ())),
            unknown=unknown.get((end, code), ""),
        )
        for end, code in sorted({*placed, *unknown})
    )


def keys_by_place(joints: Iterable[DeskJoint]) -> dict[tuple[str, str, str], DeskAnswer]:
    """The line of each part at each place, so that one key means the same wherever it is shown."""
    return {(line.view.part, joint.end, joint.location): line for joint in joints for line in joint.lines}


def answers_of(one: PartAsked, answers: Iterable[PlaceAnswer]) -> list[PlaceAnswer]:
    """The answers on a part of the basket, at its place where it has one."""
    return [
        answer
        for answer in answers
        if answer.part == one.part and (one.end is None or (answer.end, answer.location) == (one.end, one.location))
    ]


def _line(view: AnswerView, desk: DeskState, asked: Sequence[PartAsked], letters: Iterator[str]) -> DeskAnswer:
    place = f"{view.end}.{view.location}"
    taken = [
        value
        for value, one in zip(desk.parts, asked, strict=False)
        if one.part == view.part and (one.end is None or (one.end, one.location) == (view.end, view.location))
    ]
    if taken:
        href = desk.without_part(taken[0])
    else:
        href = desk.with_part(f"{view.part}:{place}") if view.revision is not None and not desk.full else ""
    return DeskAnswer(view, f"take-{view.part}-{place}", next(letters, "") if href else "", href, bool(taken))
