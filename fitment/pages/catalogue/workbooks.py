"""The catalogue to download: as it stands, or as an edition left it; and a workbook to fill in."""

from collections.abc import Iterator

from django.http import Http404, HttpRequest, HttpResponse

from catalog.codes import Role, WorkbookFormat
from catalog.selectors.editions import edition_of
from catalog.sheets.sheet import Row, Sheet, Sheets
from catalog.workbook.dumping import spreadsheet
from fitment.pages.shared.page import page
from fitment.services.catalogue.downloads import Written, workbook_write
from fitment.sheets import SHEETS

TYPES = {
    WorkbookFormat.XLSX.value: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    WorkbookFormat.ZIP.value: "application/zip",
}
FIRST_WAY = ("operations", "ways")


@page(role=Role.EDITOR)
def workbook(request: HttpRequest, ending: str) -> HttpResponse:
    """The workbook of now, all of it from one moment."""
    return _written(ending, None)


@page(role=Role.EDITOR)
def edition_workbook(request: HttpRequest, number: int, ending: str) -> HttpResponse:
    """The workbook as an edition left it."""
    if edition_of(number) is None:
        raise Http404
    return _written(ending, number)


@page(role=Role.EDITOR)
def first_way(request: HttpRequest) -> HttpResponse:
    """A workbook to fill in: an axle's first operations and the way they make, which cannot be stored one by one."""
    begun = {name: request.GET.get(name, "") for name in ("axle", "location")}

    def read(sheet: Sheet, sheets: Sheets) -> Iterator[Row]:
        if any(begun.values()):
            yield tuple(begun.get(name, "") for name in sheet.index)

    content = spreadsheet(Sheets(SHEETS[name] for name in FIRST_WAY), read)
    return to_take_away(Written("first-way.xlsx", content))


def _written(ending: str, edition: int | None) -> HttpResponse:
    if ending not in TYPES:
        raise Http404
    return to_take_away(workbook_write(ending=ending, edition=edition))


def to_take_away(file: Written) -> HttpResponse:
    """The answer with a file that the browser keeps."""
    return HttpResponse(
        file.content,
        content_type=TYPES[file.name.rpartition(".")[2]],
        headers={"Content-Disposition": f'attachment; filename="{file.name}"'},
    )
