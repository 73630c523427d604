"""A workbook handed in: live progress, then its report, then 'load exactly this'."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import Role, UploadState
from catalog.models import Upload
from catalog.selectors import current_catalogue
from catalog.selectors.editions import upload_after, upload_of
from fitment.pages.catalogue.changed import changed_at
from fitment.pages.catalogue.csv_files import changes_file, errors_file
from fitment.pages.catalogue.fault_lines import by_sheet, in_order
from fitment.pages.catalogue.paging import paged
from fitment.pages.catalogue.progress import progress_of, state_words
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.services.catalogue.uploads import NotChecked, upload_again, upload_load_ask
from fitment.sheets import SHEETS

FAULTS_A_PAGE = 200
WHOLE_FILE = "the whole file"  # in the place of a sheet; no sheet's name has blanks
_REPORTED = (UploadState.CHECKED, UploadState.REFUSED, UploadState.LOADED, UploadState.MOVED)


@page(role=Role.EDITOR)
def check(request: HttpRequest, pk: UUID) -> HttpResponse:
    upload = _found(pk)
    if upload.is_at_work:
        page = "catalogue/progress.html" if getattr(request, "htmx", False) else "catalogue/check.html"
        return render(request, page, _context(upload) | {"progress": progress_of(upload), "href": _href(pk)})
    if getattr(request, "htmx", False):
        # The bar is full: the whole page comes anew, with the report.
        return HttpResponse(headers={"HX-Refresh": "true"})
    return render(request, "catalogue/check.html", _context(upload) | _report(request, upload))


@page(role=Role.EDITOR, methods="POST", writes=True)
def load(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Queues the load; where another edition came since the check, nothing is loaded, and the page says so."""
    upload = _found(pk)
    try:
        asked = upload_load_ask(upload_id=pk)
    except NotChecked:
        return _to(pk)
    if asked.fresh is None:
        return _to(pk)
    context = _context(upload) | {"fresh": _href(asked.fresh.pk)} | _moved(upload)
    return render(request, "catalogue/moved.html", context, status=409)


@page(role=Role.EDITOR, methods="POST", writes=True)
def again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Checks the same file once more."""
    _found(pk)
    return _to(upload_again(upload_id=pk, actor=request.user).pk)


@page(role=Role.EDITOR)
def errors_csv(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Every error, a row each, for the spreadsheet beside the workbook."""
    report = _found(pk).report or {}
    return errors_file("errors", report.get("errors", ()))


@page(role=Role.EDITOR)
def answers_csv(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Every answer and every job's minutes that change, with all the variants."""
    report = _found(pk).report or {}
    return changes_file("answers", report.get("answers", ()), report.get("minutes", ()))


def _found(pk: UUID) -> Upload:
    upload = upload_of(pk)
    if upload is None:
        raise Http404
    return upload


def _href(pk: UUID) -> str:
    return reverse("catalogue-check", args=[pk])


def _to(pk: UUID) -> HttpResponse:
    return HttpResponseRedirect(_href(pk), status=303)


def _context(upload: Upload) -> dict[str, Any]:
    return {
        "upload": upload,
        "work": upload,
        "state": state_words(upload),
        "title_rows": [{"label": "Workbook", "value": upload.name}],
    }


def _moved(upload: Upload) -> dict[str, Any]:
    now = current_catalogue().edition
    query = {"from": [str(upload.edition_checked)], "to": [str(now)]}
    return {"edition_now": now, "moved_href": address(reverse("catalogue-compare"), query)}


def _report(request: HttpRequest, upload: Upload) -> dict[str, Any]:
    if upload.report is None or upload.state not in _REPORTED:
        return {}
    report: Mapping[str, Any] = upload.report
    chosen = request.GET.get("sheet", "")
    shown = [fault for fault in report["errors"] if chosen in ("", fault["sheet"] or WHOLE_FILE)]
    faults = paged(request, in_order(shown), FAULTS_A_PAGE, name="errors", at="errors")
    changes = any(of[what] for of in report["counts"].values() for what in ("added", "changed", "removed"))
    context = {
        "report": report,
        "counts": SHEETS.in_order(report["counts"]),
        "changes": changes,
        "faults": {**faults, "groups": by_sheet(faults["rows"])},
        "fault_count": len(report["errors"]),
        "sheets": _sheets(request, report["errors"], chosen),
        "chosen": chosen,
        "every": address(request.path, {}, at="errors"),
        "warnings": by_sheet(report["warnings"][:FAULTS_A_PAGE]),
        "changed": changed_at(request, report["answers"], report["minutes"], report.get("reach", {})),
        "loadable": upload.state == UploadState.CHECKED and changes,
    }
    if upload.state == UploadState.MOVED:
        fresh = upload_after(upload)
        context |= {"fresh": _href(fresh.pk) if fresh else ""} | _moved(upload)
    return context


def _sheets(request: HttpRequest, faults: Sequence[Mapping[str, Any]], chosen: str) -> list[dict[str, Any]]:
    """The sheets with errors, how many each has, and the way to them alone."""
    counts = Counter(fault["sheet"] or WHOLE_FILE for fault in faults)
    return [
        {"name": name, "count": counts[name], "href": address(request.path, {"sheet": [name]}, at="errors"),
         "here": name == chosen}
        for name in sorted(counts)
    ]  # fmt: skip
