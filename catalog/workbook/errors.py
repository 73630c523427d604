"""What is wrong with a workbook: where, what, and what would be right.

WorkbookError            anything that stops a load
+-- Refused              the workbook has errors; it carries them all
+-- Busy                 another load has the catalogue
+-- Moved                the catalogue stands at another edition than the one wished for
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NoReturn

from catalog.charset import one_line
from catalog.nearest import nearest_clause
from catalog.scrubbing import scrubbed

MOST_ERRORS = 10_000
MOST_NEAREST = 500  # errors past these do not name the nearest known word: looking for it takes time


class WorkbookError(Exception):
    """A load that cannot go on."""


class Busy(WorkbookError):
    """Another load or edit has held the catalogue for longer than one waits."""


class Moved(WorkbookError):
    """Another edition was made since the one that a load was to follow."""

    def __init__(self, wished: int, now: int) -> None:
        self.wished, self.now = wished, now
        super().__init__(f"the catalogue moved from edition {wished} to {now} since this was checked; check it anew")


@dataclass(frozen=True, slots=True)
class RowError:
    """One thing wrong; `row` as a spreadsheet counts (heads are row 1), None for a kept row or a whole sheet."""

    sheet: str
    row: int | None
    column: str | None
    wrong: str
    right: str

    def __str__(self) -> str:
        place = [self.sheet or "workbook"]
        if self.row is not None:
            place.append(f"row {self.row}")
        if self.column:
            place.append(f"column {self.column}")
        return f"{', '.join(place)}: {self.wrong}" + (f"; {self.right}" if self.right else "")


class Refused(WorkbookError):
    """The workbook has errors; nothing was stored."""

    def __init__(self, errors: "Iterable[RowError]") -> None:
        self.errors = list(errors)
        super().__init__("\n".join(map(str, self.errors)))


def _told(text: str) -> str:
    return scrubbed(one_line(text))


@dataclass
class RowErrors:
    """Errors as they are found; the same one is kept once, and past `MOST_ERRORS` they are only counted.

    Reports are stored and handed on, so that no error repeats a vehicle identification number of the file.
    """

    found: dict[RowError, None] = field(default_factory=dict)
    uncounted: int = 0

    def add(
        self, wrong: str, right: str, *, sheet: str = "", row: int | None = None, column: str | None = None
    ) -> None:
        """An error at a cell, a row, a sheet or, without any of these, of the workbook as a whole."""
        error = RowError(_told(sheet), row, column and _told(column), _told(wrong), _told(right))
        if len(self.found) < MOST_ERRORS:
            self.found[error] = None
        elif error not in self.found:
            self.uncounted += 1

    def near(self, text: str, known: Iterable[str]) -> str:
        """A clause that names the nearest known word, to follow a sentence; empty past `MOST_NEAREST` errors."""
        return nearest_clause(text, known) if len(self.found) < MOST_NEAREST else ""

    def __bool__(self) -> bool:
        return bool(self.found)

    def __len__(self) -> int:
        return len(self.found) + self.uncounted

    def __iter__(self) -> Iterator[RowError]:
        yield from self.found
        if self.uncounted:
            yield RowError("", None, None, f"{self.uncounted} more faults are not listed", "mend these first")

    def refuse(self) -> None:
        """Raises Refused when there is any error."""
        if self:
            raise Refused(self)

    def fail(self, wrong: str, right: str, *, sheet: str = "", row: int | None = None) -> NoReturn:
        """Raises Refused with one more error, past which nothing can be read."""
        self.add(wrong, right, sheet=sheet, row=row)
        raise Refused(self)


@dataclass
class Findings:
    """What a load finds: errors refuse it, warnings and notes are shown with it.

    `unread` names the sheets whose heads could not be used: what others say of their rows cannot be judged.
    """

    errors: RowErrors = field(default_factory=RowErrors)
    warnings: RowErrors = field(default_factory=RowErrors)
    notes: list[str] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)
