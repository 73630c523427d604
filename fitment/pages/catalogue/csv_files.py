"""Lists to take away as CSV, for the spreadsheet beside the page."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from django.http import HttpResponse

from catalog.charset import FORMULA_STARTS
from catalog.workbook.report import answer_text, minutes_text

_ERRORS = ("sheet", "row", "column", "wrong", "right")
_CHANGES = ("what", "axle", "end", "location", "part", "before", "after", "variants", "in_operation")
# Spreadsheets take a file without this mark for another encoding.
_MARK = "\ufeff"

Lines = Iterable[Mapping[str, Any]]


def errors_file(name: str, faults: Lines) -> HttpResponse:
    """Every error, a row each."""
    return _file(name, _ERRORS, ([fault[head] for head in _ERRORS] for fault in faults))


def changes_file(name: str, answers: Lines, minutes: Lines) -> HttpResponse:
    """Every answer and every job's minutes that change, with all the variants."""
    return _file(name, _CHANGES, _changes(answers, minutes))


def _changes(answers: Lines, minutes: Lines) -> Iterator[Sequence[Any]]:
    for what, changes, text in (("answer", answers, answer_text), ("minutes", minutes, minutes_text)):
        for one in changes:
            yield (
                what, one["axle"], one["end"], one["location"], one["part"], text(one["before"]), text(one["after"]),
                " ".join(one["variants"]), one["in_operation"],
            )  # fmt: skip


def _file(name: str, heads: Sequence[str], rows: Iterable[Sequence[Any]]) -> HttpResponse:
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(heads)
    writer.writerows([_plain(cell) for cell in row] for row in rows)
    return HttpResponse(
        _MARK + text.getvalue(),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"'},
    )


def _plain(cell: Any) -> Any:
    """A cell that no spreadsheet takes for a formula: what was wrong with a file may hold one."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith((*FORMULA_STARTS, "-")) else cell
