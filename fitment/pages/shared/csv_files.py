"""Lists to take away as CSV, for the spreadsheet beside the page."""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from django.http import HttpResponse

from catalog.charset import FORMULA_STARTS

# Spreadsheets take a file without this mark for another encoding.
_MARK = "\ufeff"


def csv_file(name: str, heads: Sequence[str], rows: Iterable[Sequence[Any]], *, mark: bool = True) -> HttpResponse:
    """Rows under their heads; without the `mark` of its encoding it is for programs."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(heads)
    writer.writerows([_plain(cell) for cell in row] for row in rows)
    return HttpResponse(
        (_MARK if mark else "") + text.getvalue(),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"'},
    )


def _plain(cell: Any) -> Any:
    """A cell that no spreadsheet takes for a formula: what was wrong with a file may hold one."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith((*FORMULA_STARTS, "-")) else cell
