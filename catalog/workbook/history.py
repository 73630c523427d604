"""The catalogue as an edition left it, and what lies between two editions, out of the history of rows.

Rows that make no edition (recorded times, enquiries) are those of today: their history is not kept.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from catalog.codes import ChangeAction
from catalog.models import Catalogue, Change, Edition
from catalog.sheets.sheet import Row, Sheet, Sheets
from catalog.workbook.dumping import Read
from catalog.workbook.storage import Table, sorted_rows

Cells = dict[str, str]


@dataclass(frozen=True, slots=True)
class RowDifference:
    """A row that differs between two moments, as the workbook writes it; None: there was, or is, no row.

    >>> RowDifference("makers", "ALVA", {"maker": "ALVA", "title": "A"}, {"maker": "ALVA", "title": "B"}).columns
    [('title', 'A', 'B')]
    """

    sheet: str
    key: str
    before: Cells | None
    after: Cells | None

    @property
    def action(self) -> ChangeAction:
        if self.before is None:
            return ChangeAction.ADDED
        return ChangeAction.REMOVED if self.after is None else ChangeAction.CHANGED

    @property
    def columns(self) -> list[tuple[str, str, str]]:
        """Each column whose text differs: its name, the text before and after; all filled ones of a row that came."""
        before, after = self.before or {}, self.after or {}
        both = ((name, before.get(name, ""), after.get(name, "")) for name in dict.fromkeys((*before, *after)))
        return [(name, was, becomes) for name, was, becomes in both if was != becomes]


def rows_at(edition: int) -> Read:
    """The reader of the rows as an edition left them, for the functions that write the workbook."""

    def read(sheet: Sheet, sheets: Sheets) -> Iterator[Row]:
        if sheet.name == "catalogue":
            yield from _catalogue_at(edition)
            return
        rows = Table(sheet, sheets).read()
        for before, after in _later(edition, sheet.name):
            if after is not None:
                rows.pop(sheet.key_of(_row(sheet, after)), None)
            if before is not None:
                row = _row(sheet, before)
                rows[sheet.key_of(row)] = 0, row
        yield from sorted_rows(rows)

    return read


def between(first: int, last: int) -> Iterator[RowDifference]:
    """The rows that differ between the catalogue as `first` left it and as `last` left it, by sheet and key."""
    history = Change.objects.filter(edition__number__gt=first, edition__number__lte=last)
    rows = history.order_by("sheet", "row_key", "edition__number").values_list("sheet", "row_key", "before", "after")
    found: RowDifference | None = None
    for sheet, key, before, after in rows.iterator(chunk_size=2_000):
        if found is not None and (found.sheet, found.key) == (sheet, key):
            found = RowDifference(sheet, key, found.before, after)
            continue
        if found is not None and found.before != found.after:
            yield found
        found = RowDifference(sheet, key, before, after)
    if found is not None and found.before != found.after:
        yield found


def _later(edition: int, sheet: str) -> Iterator[tuple[Cells | None, Cells | None]]:
    """What later editions did to a sheet, the latest first."""
    rows = Change.objects.filter(edition__number__gt=edition, sheet=sheet).order_by("-edition__number", "-pk")
    yield from rows.values_list("before", "after").iterator(chunk_size=2_000)


def _catalogue_at(edition: int) -> Iterator[Row]:
    now = Catalogue.objects.exclude(code="").first()
    if now is None or not Edition.objects.filter(number=edition).exists():
        return
    code, as_of = now.code, now.as_of.isoformat() if isinstance(now.as_of, date) else ""
    for before, _ in _later(edition, "catalogue"):
        if before is not None:
            code, as_of = before["catalogue"], before["as_of"]
    yield code, str(edition), as_of


def _row(sheet: Sheet, cells: Cells) -> Row:
    return tuple(cells.get(name, "") for name in sheet.index)
