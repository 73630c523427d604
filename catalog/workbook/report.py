"""What a load did, or would do: counts, errors, warnings, and the answers that change."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from catalog.codes import ChangeAction
from catalog.workbook.errors import RowError

CHANGE_HEADS = ("what", "axle", "end", "location", "part", "before", "after", "variants", "in_operation")
"""The heads of `change_rows`; all but the first are the fields of a change."""


@dataclass(frozen=True, slots=True)
class CarsDifference:
    """What changes alike for some variants at a place; `in_operation` counts their cars."""

    axle: str
    end: str
    location: str
    part: str
    before: Any
    after: Any
    variants: tuple[str, ...]
    in_operation: int

    def line(self, before: str, after: str) -> str:
        place = " ".join(word for word in (self.axle or self.end, self.location) if word) or "no place"
        variants = "1 variant" if len(self.variants) == 1 else f"{len(self.variants)} variants"
        return f"{place} {self.part}: {before} -> {after} ({variants}, {self.in_operation} cars in operation)"


class AnswerDifference(CarsDifference):
    """An answer: `before` and `after` hold verdict, revision and basis; None: not listed."""

    def __str__(self) -> str:
        return self.line(answer_text(self.before), answer_text(self.after))


class MinutesDifference(CarsDifference):
    """Minutes of a job; None: no plan, or no answer to plan for."""

    def __str__(self) -> str:
        return self.line(minutes_text(self.before), minutes_text(self.after))


def minutes_text(minutes: float | None) -> str:
    return "no job" if minutes is None else f"{minutes:g} min"


def answer_text(answer: Mapping[str, Any] | None) -> str:
    """An answer in one line.

    >>> answer_text({"verdict": "fits", "revision": "B", "basis": "fitted"})
    'fits B fitted'
    """
    if answer is None:
        return "not listed"
    return " ".join(str(answer[name]) for name in ("verdict", "revision", "basis") if answer.get(name))


def change_rows(answers: Iterable[Mapping[str, Any]], minutes: Iterable[Mapping[str, Any]]) -> Iterator[Sequence[Any]]:
    """The answers and minutes that change, as a report or the history holds them, as rows of one list."""
    for what, changes, text in (("answer", answers, answer_text), ("minutes", minutes, minutes_text)):
        for change in changes:
            written = {
                "before": text(change["before"]),
                "after": text(change["after"]),
                "variants": " ".join(change["variants"]),
            }
            yield (what, *(written.get(name, change[name]) for name in CHANGE_HEADS[1:]))


@dataclass(frozen=True, slots=True)
class Reach:
    """How many changes there are, on how many variants and cars in operation; each car is counted once."""

    changes: int = 0
    variants: int = 0
    in_operation: int = 0


@dataclass
class Differences:
    """The answers and the minutes that change, and how far that reaches."""

    answers: list[AnswerDifference] = field(default_factory=list)
    minutes: list[MinutesDifference] = field(default_factory=list)
    answers_reach: Reach = Reach()
    minutes_reach: Reach = Reach()

    def reach(self) -> dict[str, dict[str, int]]:
        """How far the changes reach, as JSON holds it: by `answers` and `minutes`."""
        return {"answers": asdict(self.answers_reach), "minutes": asdict(self.minutes_reach)}


@dataclass
class Report:
    """The outcome of a load or a check; `refused` tells whether there were errors."""

    source: str
    check: bool = False
    edition_before: int = 0
    edition_after: int = 0
    counts: dict[str, dict[str, int]] = field(default_factory=dict)
    errors: list[RowError] = field(default_factory=list)
    warnings: list[RowError] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    differences: Differences = field(default_factory=Differences)

    @property
    def refused(self) -> bool:
        return bool(self.errors)

    @property
    def has_changes(self) -> bool:
        return any(counts[name] for counts in self.counts.values() for name in ChangeAction)

    def to_json(self) -> dict[str, Any]:
        """The report as JSON holds it."""
        found = asdict(self)
        differences = found.pop("differences")
        answers, minutes = differences["answers"], differences["minutes"]
        reach = self.differences.reach()
        return {**found, "refused": self.refused, "answers": answers, "minutes": minutes, "reach": reach}

    def lines(self, *, most: int | None = None) -> list[str]:
        """The report in lines, at most `most` of the answers that change."""
        lines = [str(error) for error in self.errors]
        lines += [f"warning: {warning}" for warning in self.warnings]
        lines += [f"note: {note}" for note in self.notes]
        if self.refused:
            return [*lines, f"refused: {len(self.errors)} errors; nothing was stored"]
        for sheet, counts in self.counts.items():
            lines.append(f"{sheet}: " + ", ".join(f"{count} {what}" for what, count in counts.items()))
        lines += _section("answers that change", self.differences.answers, most)
        lines += _section("job minutes that change", self.differences.minutes, most)
        return [*lines, self._outcome()]

    def _outcome(self) -> str:
        if not self.has_changes:
            return f"nothing changes; the catalogue stays at edition {self.edition_before}"
        if self.check:
            return f"checked: a load would make edition {self.edition_after}; nothing was stored"
        return f"loaded: edition {self.edition_after}"


def _section(title: str, differences: list[Any], most: int | None) -> list[str]:
    shown = differences if most is None else differences[:most]
    lines = [f"{title}: {len(differences)}", *(f"  {difference}" for difference in shown)]
    if len(shown) < len(differences):
        lines.append(f"  and {len(differences) - len(shown)} more; a report holds them all")
    return lines
