"""A workbook that the worker writes: asked for, live progress, then the file."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import DownloadState, Role, WorkbookFormat
from catalog.models import Download
from catalog.selectors.editions import edition_of
from fitment.pages.catalogue.progress import progress_of, state_words
from fitment.pages.catalogue.workbooks import to_take_away
from fitment.pages.shared.addresses import edition_number
from fitment.pages.shared.page import page
from fitment.services.catalogue.downloads import Written, download_ask


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
    found = Download.objects.defer("content").filter(pk=pk).first()
    if found is None:
        raise Http404
    by_htmx = getattr(request, "htmx", False)
    if by_htmx and not found.is_at_work:
        # The bar is full: the whole page comes anew, with the file.
        return HttpResponse(headers={"HX-Refresh": "true"})
    context = {
        "work": found,
        "state": state_words(found),
        "href": _href(pk),
        "title_rows": [{"label": "Workbook", "value": found.name or "being written"}],
    }
    if found.is_at_work:
        context["progress"] = progress_of(found)
    return render(request, "catalogue/progress.html" if by_htmx else "catalogue/download.html", context)


@page(role=Role.EDITOR)
def file(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The file, as often as it is wanted for a day."""
    found = Download.objects.filter(pk=pk, state=DownloadState.READY).first()
    if found is None:
        raise Http404
    return to_take_away(Written(found.name, bytes(found.content or b"")))


def _href(pk: UUID) -> str:
    return reverse("catalogue-download", args=[pk])
