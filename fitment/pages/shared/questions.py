"""The next question with its choices as addresses: one question at a time, and 'don't know' always."""

from dataclasses import dataclass

from fitment.answers.fit import NextQuestion
from fitment.pages.shared.addresses import Query, address, with_value
from fitment.text.fit import question_text


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """An answer to the question: the key that gives it on the desk, the cars it leaves, the answers open then."""

    href: str
    label: str
    hint: str
    key: str = ""
    cars: int | None = None
    undecided: int | None = None

    @property
    def bare_hint(self) -> str:
        return self.hint.rstrip(".")


@dataclass(frozen=True, slots=True)
class QuestionView:
    """`undecided`: how many answers depend on what is not stated; None before anything could be computed."""

    text: str
    choices: tuple[ChoiceView, ...]
    dont_know: str
    undecided: int | None
    expected: str


def question_view(
    question: NextQuestion | None, query: Query, path: str, *, skippable: bool = True, keys: int = 0
) -> QuestionView | None:
    """The question for a page at `path`; a page that must know the answer offers no 'don't know'.

    The first `keys` choices have keys, numbered from 1.
    """
    if question is None:
        return None
    choices = tuple(
        ChoiceView(
            address(path, query, adding=choice.query),
            choice.label or choice.value,
            choice.hint,
            str(position) if position <= keys else "",
            choice.cars,
            choice.undecided,
        )
        for position, choice in enumerate(question.choices, start=1)
    )
    expected = question.expected_undecided
    return QuestionView(
        text=question_text(question),
        choices=choices,
        dont_know=address(path, with_value(query, "skip", question.attribute)) if skippable else "",
        undecided=question.undecided,
        expected="" if expected is None else f"{float(expected):.1f}",
    )
