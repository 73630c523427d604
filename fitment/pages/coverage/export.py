"""The coverage as files, all rows that the filters leave: cells and uncovered cars as CSV, everything as xlsx."""

import csv
import io
from collections.abc import Iterable, Sequence

import xlsxwriter

from fitment.answers.contract import tenths
from fitment.engineering.constants import EFFORT_DAYS
from fitment.pages.coverage.filters import Kept
from fitment.pages.coverage.waiting_lines import SAYINGS, standing_texts
from fitment.pages.coverage.work_lines import loads_of
from fitment.services.coverage.cells import groups_of_cells

Value = str | int | float
CELLS = (
    "axle", "end", "location", "component", "cars", "covered", "uncovered", "state", "basis", "by", "conflict",
    "enquiries", "effort_days", "score",
)  # fmt: skip
PLATFORMS = ("maker", "chassis", "end", "location", "cars", "uncovered", "state", "axles", "components")
WORK = (
    "rank", "axle", "end", "location", "component", "state", "uncovered", "enquiries", "effort_days", "score",
    "braking_n", "share",
)  # fmt: skip
UNCOVERED = (
    "axle", "end", "location", "component", "state", "conditions", "cars", "variants", *(name for name, _ in SAYINGS),
)  # fmt: skip


def cells_csv(kept: Kept) -> bytes:
    """The cells with the terms of their score."""
    return _csv(CELLS, cell_rows(kept))


def uncovered_csv(kept: Kept) -> bytes:
    """The uncovered cars of each cell, by what tells them apart."""
    return _csv(UNCOVERED, uncovered_rows(kept))


def workbook(kept: Kept) -> bytes:
    """Sheets: cells, platforms, work, uncovered cars by condition, and the effort that the scores are made with."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    bold = book.add_format({"bold": True})
    effort = [(name, int(days.value), days.source) for name, days in EFFORT_DAYS.items()]
    for name, heads, rows in (
        ("cells", CELLS, cell_rows(kept)),
        ("platforms", PLATFORMS, platform_rows(kept)),
        ("work", WORK, work_rows(kept)),
        ("uncovered", UNCOVERED, uncovered_rows(kept)),
        ("effort", ("state", "days", "source"), effort),
    ):
        _sheet(book.add_worksheet(name), heads, rows, bold)
    book.close()
    return file.getvalue()


def cell_rows(kept: Kept) -> Iterable[Sequence[Value]]:
    terms = {row.cell.key: row for row in kept.work}
    for cell in kept.cells:
        work, key = terms.get(cell.key), cell.key
        yield (
            key.axle, cell.end, key.location, key.component, tenths(cell.cars), tenths(cell.covered),
            tenths(cell.uncovered), cell.state.value, cell.basis.value if cell.basis else "",
            " ".join(f"{part}-{letter}" for part, letter in cell.by), "yes" if cell.conflict else "no",
            work.enquiries if work else "", work.effort_days if work else "", float(work.score) if work else "",
        )  # fmt: skip


def platform_rows(kept: Kept) -> Iterable[Sequence[Value]]:
    for row in kept.platforms:
        yield (
            row.maker, row.chassis, row.end, row.location, tenths(row.cars), tenths(row.uncovered), row.state.value,
            " ".join(sorted({axle for axle, _ in row.cells})), " ".join(component for _, component in row.cells),
        )  # fmt: skip


def work_rows(kept: Kept) -> Iterable[Sequence[Value]]:
    loads = loads_of(kept.work)
    for rank, row in enumerate(kept.work, start=1):
        key = row.cell.key
        load = loads.get(key)
        yield (
            rank, key.axle, row.cell.end, key.location, key.component, row.cell.state.value,
            tenths(row.cell.uncovered), row.enquiries, row.effort_days, float(row.score),
            load.braking_n if load else "", load.share if load else "",
        )  # fmt: skip


def uncovered_rows(kept: Kept) -> Iterable[Sequence[Value]]:
    for cell, group in groups_of_cells(kept.cells):
        key = cell.key
        yield (
            key.axle, cell.end, key.location, key.component, cell.state.value, str(group.conditions),
            tenths(group.cars), " ".join(group.variants), *standing_texts(group.verdicts),
        )  # fmt: skip


def _csv(heads: Sequence[str], rows: Iterable[Sequence[Value]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(heads)
    writer.writerows(rows)
    return text.getvalue().encode()


def _sheet(
    page: xlsxwriter.worksheet.Worksheet,
    heads: Sequence[str],
    rows: Iterable[Sequence[Value]],
    bold: xlsxwriter.format.Format,
) -> None:
    page.freeze_panes(1, 0)
    page.set_column(0, len(heads) - 1, 14)
    for at, head in enumerate(heads):
        page.write_string(0, at, head, bold)
    for number, row in enumerate(rows, start=1):
        for at, value in enumerate(row):
            if isinstance(value, str):
                page.write_string(number, at, value)
            else:
                page.write_number(number, at, value)
