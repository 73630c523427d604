"""`/coverage/`: which platforms still need a design, as a page and as files; filters are in the address, for all."""

from collections.abc import Collection, Iterator, Sequence

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import CoverageState, End, Role
from fitment.coverage.cells import CoverageCell
from fitment.coverage.counting import CellKey
from fitment.coverage.summaries import PlatformCoverage, WorkRow
from fitment.engineering.constants import CARS_PER_ENQUIRY
from fitment.pages.coverage.lists import TABLES, FilteredCoverage, effort_lines, work_lines, workbook
from fitment.pages.coverage.matrix import matrix_ends
from fitment.pages.shared.addresses import Query, address
from fitment.pages.shared.csv_files import csv_file
from fitment.pages.shared.forms import PageForm
from fitment.pages.shared.page import page
from fitment.readers.vocabulary import names
from fitment.services.coverage.cells import Coverage, coverage, order_of_work
from fitment.text.coverage import MEANINGS, SWITCHES, YES_OR_NOTHING, unknown_filter

WORK_SHOWN = 12
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class CoverageFilter(PageForm):
    """The filters of an address, checked against what the coverage holds."""

    def __init__(self, query: Query, whole: Coverage) -> None:
        makers = names().makers
        choices = {
            "maker": [(code, makers.get(code, code)) for code in sorted({row.maker for row in whole.platforms})],
            "chassis": [(code, code) for code in sorted({row.chassis for row in whole.platforms})],
            "end": End.choices,
            "location": [(code, code) for code in sorted({row.location for row in whole.platforms})],
            "state": CoverageState.choices,
        }
        self.query = {name: [text for text in query.get(name, []) if text] for name in (*choices, *SWITCHES)}
        self.query = {name: values for name, values in self.query.items() if values}
        super().__init__(initial={name: values[0] for name, values in self.query.items()})
        for name, label, empty in (
            ("maker", "Maker", "all"),
            ("chassis", "Chassis", "all"),
            ("end", "End", "both"),
            ("location", "Joint", "all"),
            ("state", "State", "all"),
        ):
            self.add(name, label, choices=choices[name], empty=empty)
        known = {name: [value for value, _ in pairs] for name, pairs in choices.items()}
        self.refuse(self._wrong(known))

    def _wrong(self, known: dict[str, list[str]]) -> Iterator[tuple[str, str]]:
        for name, values in known.items():
            for value in self.query.get(name, []):
                if value not in values:
                    yield name, unknown_filter(name, value, values)
        for name in SWITCHES:
            if self.query.get(name, ["yes"]) != ["yes"]:
                yield name, YES_OR_NOTHING

    @property
    def switches(self) -> list[tuple[str, str, bool]]:
        return [(name, label, name in self.query) for name, label in SWITCHES.items()]

    def filtered(self, whole: Coverage, work: Sequence[WorkRow]) -> FilteredCoverage:
        """The rows that every filter leaves; a state keeps a platform's location of whose cars some stand there."""
        enquired = {row.cell.key for row in work if row.enquiries}
        cells = [cell for cell in whole.cells if self._keeps_cell(cell, enquired)]
        keys = {cell.key for cell in cells}
        platforms = [row for row in whole.platforms if self._keeps_platform(row, keys)]
        return FilteredCoverage(platforms, cells, [row for row in work if row.cell.key in keys])

    def _keeps_cell(self, cell: CoverageCell, enquired: Collection[CellKey]) -> bool:
        platforms = cell.count.platforms
        return (
            any(self._has("maker", maker) and self._has("chassis", chassis) for maker, chassis in platforms)
            and self._has("end", cell.end)
            and self._has("location", cell.key.location)
            and self._has("state", cell.state)
            and not ("uncovered" in self.query and not cell.uncovered)
            and not ("demand" in self.query and cell.key not in enquired)
        )

    def _keeps_platform(self, row: PlatformCoverage, kept: Collection[CellKey]) -> bool:
        return (
            all(self._has(name, getattr(row, name)) for name in ("maker", "chassis", "end", "location"))
            and ("state" not in self.query or any(self._has("state", state) for state in row.states))
            and not ("uncovered" in self.query and not row.uncovered)
            and (
                "demand" not in self.query
                or any(CellKey(axle, row.location, component) in kept for axle, component in row.cells)
            )
        )

    def _has(self, name: str, value: str) -> bool:
        return name not in self.query or value in self.query[name]


@page(role=Role.DEVELOPMENT)
def matrix(request: HttpRequest) -> HttpResponse:
    path = reverse("coverage")
    everything, work = coverage(), order_of_work()
    filters = CoverageFilter(dict(request.GET.lists()), everything)
    shown = filters.filtered(everything, work)
    rows = shown.work if request.GET.get("work") == "all" else shown.work[:WORK_SHOWN]
    context = {
        "path": path,
        "filters": filters,
        "ends": matrix_ends(shown, filters.query, request.GET.get("open", ""), path),
        "legend": MEANINGS.items(),
        "work": work_lines(rows),
        "work_total": len(shown.work),
        "work_all": address(path, filters.query, adding={"work": "all"}, at="work"),
        "effort": effort_lines(),
        "per_enquiry": int(CARS_PER_ENQUIRY.value),
        "platforms_waiting": len({(row.maker, row.chassis) for row in shown.platforms if row.uncovered}),
        "conflicts": [cell for cell in shown.cells if cell.conflict],
        "csv": address(reverse("coverage-csv"), filters.query),
        "uncovered_csv": address(reverse("coverage-uncovered-csv"), filters.query),
        "xlsx": address(reverse("coverage-xlsx"), filters.query),
        "title_rows": [{"label": "Sheet", "value": "Coverage", "wide": False}],
    }
    return render(request, "coverage/page.html", context, status=400 if filters.refusals else 200)


@page(role=Role.DEVELOPMENT)
def coverage_file(request: HttpRequest, table: str) -> HttpResponse:
    """One table as CSV, or all of them as a workbook where none is named."""
    everything = coverage()
    filters = CoverageFilter(dict(request.GET.lists()), everything)
    if filters.refusals:
        wrong = "\n".join(message for _, message in filters.refusals)
        return HttpResponseBadRequest(wrong, content_type="text/plain; charset=utf-8")
    shown = filters.filtered(everything, order_of_work())
    if table:
        heads, rows_of = TABLES[table]
        return csv_file("coverage" if table == "cells" else table, heads, rows_of(shown), mark=False)
    disposition = {"Content-Disposition": 'attachment; filename="coverage.xlsx"'}
    return HttpResponse(workbook(shown), content_type=_XLSX, headers=disposition)
