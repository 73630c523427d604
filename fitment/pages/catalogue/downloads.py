"""The catalogue to take away: at once, or as the worker writes it, with live progress; and a workbook to fill in."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from catalog.codes import Role, WorkbookFormat
from catalog.selectors.editions import edition_of
from fitment.pages.catalogue.shared import progress_page
from fitment.pages.shared.addresses import edition_number
from fitment.pages.shared.page import page
from fitment.services.catalogue.downloads import (
    WorkbookFile,
    download_ask,
    download_file,
    download_of,
    first_way_write,
    workbook_write,
)
from fitment.text.catalogue import STATES

TYPES = {
    WorkbookFormat.XLSX.value: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    WorkbookFormat.ZIP.value: "application/zip",
}


@page(role=Role.EDITOR)
def workbook(request: HttpRequest, ending: str, number: int | None = None) -> HttpResponse:
    """The workbook of now, or as an edition left it, all of it from one moment."""
    if ending not in TYPES or (number is not None and edition_of(number) is None):
        raise Http404
    return _file(workbook_write(ending=ending, edition=number))


@page(role=Role.EDITOR)
def first_way(request: HttpRequest) -> HttpResponse:
    """A workbook to fill in: an axle's first operations and the way they make, which cannot be stored one by one."""
    return _file(first_way_write(axle=request.GET.get("axle", ""), location=request.GET.get("location", "")))


@page(role=Role.EDITOR, methods="POST", writes=True)
def ask(request: HttpRequest) -> HttpResponse:
    """Queues the writing; `edition` left out: of the catalogue as it stands."""
    ending, edition = request.POST.get("ending", ""), request.POST.get("edition", "")
    number = edition_number(edition)
    if ending not in WorkbookFormat.values or (edition and (number is None or edition_of(number) is None)):
        raise Http404
    download = download_ask(ending=WorkbookFormat(ending), edition=number, actor=request.user)
    return HttpResponseRedirect(_href(download.pk), status=303)


@page(role=Role.EDITOR)
def download(request: HttpRequest, pk: UUID) -> HttpResponse:
    found = download_of(pk)
    if found is None:
        raise Http404
    title_rows = [{"label": "Workbook", "value": found.name or "being written"}]
    context = {"work": found, "state": STATES[found.state], "title_rows": title_rows}
    return progress_page(request, found, "catalogue/download.html", context, href=_href(pk))


@page(role=Role.EDITOR)
def file(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The file, as often as it is wanted for a day."""
    found = download_file(pk)
    if found is None:
        raise Http404
    return _file(found)


def _href(pk: UUID) -> str:
    return reverse("catalogue-download", args=[pk])


def _file(file: WorkbookFile) -> HttpResponse:
    """The answer with a file that the browser keeps."""
    return HttpResponse(
        file.content,
        content_type=TYPES[file.name.rpartition(".")[2]],
        headers={"Content-Disposition": f'attachment; filename="{file.name}"'},
    )
