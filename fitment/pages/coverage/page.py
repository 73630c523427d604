"""`/coverage/`: which platforms still need a design."""

from collections.abc import Callable
from fractions import Fraction

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import CoverageState, Role
from fitment.pages.coverage.export import cells_csv, uncovered_csv, workbook
from fitment.pages.coverage.filters import Filters, Kept
from fitment.pages.coverage.matrix import halves, whole
from fitment.pages.coverage.work_lines import PER_ENQUIRY, effort_table, work_lines
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.services.coverage.cells import coverage, order_of_work
from fitment.text.coverage import LABELS, MEANINGS

WORK_SHOWN = 12
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@page(role=Role.DEVELOPMENT)
def matrix(request: HttpRequest) -> HttpResponse:
    path = reverse("coverage")
    everything, work = coverage(), order_of_work()
    filters = Filters(dict(request.GET.lists()), everything)
    kept = filters.keep(everything, work)
    opened = request.GET.get("open", "")
    shown = kept.work if request.GET.get("work") == "all" else kept.work[:WORK_SHOWN]
    waiting = [row for row in kept.platforms if row.uncovered]
    context = {
        "path": path,
        "filters": filters,
        "fields": filters.fields(),
        "errors": [
            {"label": name, "message": message, "href": f"#f-{name}"} for name, message in filters.errors.items()
        ],
        "halves": halves(kept.platforms, kept.cells, filters.query, opened, path),
        "legend": [(state, LABELS[state], MEANINGS[state]) for state in CoverageState],
        "work": work_lines(shown),
        "work_total": len(kept.work),
        "work_all": address(path, filters.query, adding={"work": "all"}, at="work"),
        "effort": effort_table(),
        "per_enquiry": PER_ENQUIRY,
        "platforms_waiting": len({(row.maker, row.chassis) for row in waiting}),
        "uncovered": whole(sum((cell.uncovered for cell in kept.cells), Fraction())),
        "conflicts": [cell for cell in kept.cells if cell.conflict],
        "csv": address(reverse("coverage-csv"), filters.query),
        "uncovered_csv": address(reverse("coverage-uncovered-csv"), filters.query),
        "xlsx": address(reverse("coverage-xlsx"), filters.query),
        "title_rows": [{"label": "Sheet", "value": "Coverage", "wide": False}],
    }
    return render(request, "coverage/page.html", context, status=400 if filters.errors else 200)


@page(role=Role.DEVELOPMENT)
def as_csv(request: HttpRequest) -> HttpResponse:
    return _file(request, cells_csv, "text/csv; charset=utf-8", "csv")


@page(role=Role.DEVELOPMENT)
def as_uncovered_csv(request: HttpRequest) -> HttpResponse:
    return _file(request, uncovered_csv, "text/csv; charset=utf-8", "csv", "uncovered")


@page(role=Role.DEVELOPMENT)
def as_xlsx(request: HttpRequest) -> HttpResponse:
    return _file(request, workbook, _XLSX, "xlsx")


def _file(
    request: HttpRequest, write: Callable[[Kept], bytes], kind: str, ending: str, called: str = "coverage"
) -> HttpResponse:
    everything = coverage()
    filters = Filters(dict(request.GET.lists()), everything)
    if filters.errors:
        return HttpResponseBadRequest("\n".join(filters.errors.values()), content_type="text/plain; charset=utf-8")
    data = write(filters.keep(everything, order_of_work()))
    name = f'attachment; filename="{called}.{ending}"'
    return HttpResponse(data, content_type=kind, headers={"Content-Disposition": name})
