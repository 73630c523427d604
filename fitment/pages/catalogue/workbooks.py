"""The catalogue to download: as it stands, or as an edition left it."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from catalog.roles import Role
from catalog.selectors import current_catalogue
from catalog.selectors.history import edition_of
from catalog.workbook.dumping import Read, csv_files, one_snapshot, rows_of, spreadsheet, zipped
from catalog.workbook.past import rows_at
from fitment.pages.access import needs
from fitment.sheets import SHEETS

TYPES = {
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "zip": "application/zip",
}


@require_safe
@needs(Role.EDITOR)
def workbook(request: HttpRequest, ending: str) -> HttpResponse:
    """The workbook of now, all of it from one moment."""
    return _written(ending, rows_of, None)


@require_safe
@needs(Role.EDITOR)
def edition_workbook(request: HttpRequest, number: int, ending: str) -> HttpResponse:
    """The workbook as an edition left it."""
    if edition_of(number) is None:
        raise Http404
    return _written(ending, rows_at(number), number)


def _written(ending: str, read: Read, number: int | None) -> HttpResponse:
    if ending not in TYPES:
        raise Http404
    with one_snapshot():
        now = current_catalogue()
        content = spreadsheet(SHEETS, read) if ending == "xlsx" else zipped(csv_files(SHEETS, read))
    name = f"{now.code or 'catalogue'}-{now.edition if number is None else number}.{ending}"
    return HttpResponse(
        content, content_type=TYPES[ending], headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )
