"""The answers and job minutes that change, as a check, an edition and a preview show them: sought, a page at a time."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from fitment.pages.catalogue.answer_lines import KINDS, Answer, by_place, matching, touched
from fitment.pages.catalogue.paging import Turn, paged
from fitment.readers.names import names

LINES_A_PAGE = 60


@dataclass(frozen=True, slots=True)
class Sought:
    """Words that must stand in a change, and the kind of changes wanted (empty: all)."""

    words: str = ""
    kind: str = ""

    @classmethod
    def of(cls, given: Mapping[str, str], *, prefix: str = "") -> "Sought":
        """What is sought, out of the parameters `q` and `kind`."""
        kind = given.get(f"{prefix}kind", "")
        return cls(given.get(f"{prefix}q", ""), kind if kind in dict(KINDS) else "")

    def fields(self, *, prefix: str = "") -> list[dict[str, Any]]:
        """The fields of the form that seeks."""
        hint = f"f-{prefix}q-hint"
        return [
            {"name": f"{prefix}q", "label": "Find", "value": self.words, "kind": "search", "described_by": hint,
             "hint": "An axle, a location, a part or a variant."},
            {"name": f"{prefix}kind", "label": "Which answers", "value": self.kind, "kind": "select",
             "choices": KINDS, "empty": "all"},
        ]  # fmt: skip

    def __bool__(self) -> bool:
        return bool(self.words or self.kind)


def changed(
    answers: Sequence[Answer], minutes: Sequence[Answer], reach: Mapping[str, Any], *, sought: Sought, turn: Turn,
    prefix: str = "",
) -> dict[str, Any]:  # fmt: skip
    """All that `catalogue/changed.html` shows. `reach` by `answers` and `minutes` as a report has it."""
    titles = names().locations
    found = turn(matching(answers, sought.words, sought.kind), "answers")
    found_minutes = turn(matching(minutes, sought.words), "minutes")
    return {
        "touched": touched(answers, reach.get("answers", {})),
        "answers": {**found, "groups": by_place(found["rows"], titles)},
        "minutes_touched": touched(minutes, reach.get("minutes", {}), minutes=True),
        "minutes": {**found_minutes, "groups": by_place(found_minutes["rows"], titles, minutes=True)},
        "search": sought.fields(prefix=prefix),
        "searched": bool(sought),
    }


def changed_at(
    request: HttpRequest, answers: Sequence[Answer], minutes: Sequence[Answer], reach: Mapping[str, Any]
) -> dict[str, Any]:
    """As `changed`, where the address holds what is sought and the pages."""

    def turn(rows: Sequence[Any], name: str) -> Mapping[str, Any]:
        return paged(request, rows, LINES_A_PAGE, name=name, at=name)

    return changed(answers, minutes, reach, sought=Sought.of(request.GET), turn=turn)
