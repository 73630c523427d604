"""A workbook handed in: live progress, then its report, then 'load exactly this'."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import ChangeAction, Role, UploadState
from catalog.models import Upload
from catalog.selectors import current_catalogue
from catalog.selectors.editions import upload_after, upload_of
from fitment.pages.catalogue.changes import changed, changes_file
from fitment.pages.catalogue.shared import compare_address, paged, progress_page
from fitment.pages.shared.addresses import address
from fitment.pages.shared.csv_files import csv_file
from fitment.pages.shared.page import page
from fitment.services.catalogue.uploads import NotChecked, upload_again, upload_load_ask
from fitment.sheets import SHEETS
from fitment.text.catalogue import STATES

ERRORS_A_PAGE = 200
ERROR_HEADS = ("sheet", "row", "column", "wrong", "right")
WHOLE_FILE = "the whole file"  # in the place of a sheet; no sheet's name has blanks
_REPORTED = (UploadState.CHECKED, UploadState.REFUSED, UploadState.LOADED, UploadState.MOVED)

ReportedError = Mapping[str, Any]
"""A `RowError` as a report holds it."""


@page(role=Role.EDITOR)
def check(request: HttpRequest, pk: UUID) -> HttpResponse:
    upload = _found(pk)
    context = _context(upload) | ({} if upload.is_at_work else _report(request, upload))
    return progress_page(request, upload, "catalogue/check.html", context, href=_href(pk))


@page(role=Role.EDITOR, methods="POST", writes=True)
def load(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Queues the load; where another edition came since the check, nothing is loaded, and the page says so."""
    upload = _found(pk)
    try:
        fresh = upload_load_ask(upload_id=pk).fresh
    except NotChecked:
        fresh = None
    if fresh is None:
        return _to(pk)
    context = _context(upload) | {"fresh": _href(fresh.pk)} | _moved(upload)
    return render(request, "catalogue/moved.html", context, status=409)


@page(role=Role.EDITOR, methods="POST", writes=True)
def again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Checks the same file once more."""
    _found(pk)
    return _to(upload_again(upload_id=pk, actor=request.user).pk)


@page(role=Role.EDITOR)
def errors_csv(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Every error, a row each, for the spreadsheet beside the workbook."""
    errors = (_found(pk).report or {}).get("errors", ())
    return csv_file("errors", ERROR_HEADS, ([error[head] for head in ERROR_HEADS] for error in errors))


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
        "state": STATES[upload.state],
        "title_rows": [{"label": "Workbook", "value": upload.name}],
    }


def _moved(upload: Upload) -> dict[str, Any]:
    now = current_catalogue().edition
    return {"edition_now": now, "moved_href": compare_address(upload.edition_checked or 0, now)}


def _report(request: HttpRequest, upload: Upload) -> dict[str, Any]:
    if upload.report is None or upload.state not in _REPORTED:
        return {}
    report: Mapping[str, Any] = upload.report
    chosen = request.GET.get("sheet", "")
    shown = [error for error in report["errors"] if chosen in ("", error["sheet"] or WHOLE_FILE)]
    errors = paged(request, _in_order(shown), ERRORS_A_PAGE, name="errors", at="errors")
    changes = any(of[action] for of in report["counts"].values() for action in ChangeAction)
    context = {
        "report": report,
        "counts": SHEETS.in_order(report["counts"]),
        "changes": changes,
        "errors": {**errors, "groups": _by_sheet(errors["rows"])},
        "error_count": len(report["errors"]),
        "sheets": _sheets(request, report["errors"], chosen),
        "chosen": chosen,
        "every": address(request.path, {}, at="errors"),
        "warnings": _by_sheet(report["warnings"][:ERRORS_A_PAGE]),
        "changed": changed(request, report["answers"], report["minutes"], report.get("reach", {})),
        "loadable": upload.state == UploadState.CHECKED and changes,
    }
    if upload.state == UploadState.MOVED:
        fresh = upload_after(upload)
        context |= {"fresh": _href(fresh.pk) if fresh else ""} | _moved(upload)
    return context


def _in_order(errors: Iterable[ReportedError]) -> list[ReportedError]:
    """The errors by sheet, in each by row and column."""
    return sorted(errors, key=lambda error: (error["sheet"], error["row"] or 0, error["column"] or ""))


def _by_sheet(errors: Iterable[ReportedError]) -> list[tuple[str, list[ReportedError]]]:
    """The errors, in order, sheet by sheet; without a name: of the workbook as a whole."""
    return [(sheet, list(of)) for sheet, of in groupby(_in_order(errors), key=lambda error: str(error["sheet"]))]


def _sheets(request: HttpRequest, errors: Sequence[ReportedError], chosen: str) -> list[dict[str, Any]]:
    """The sheets with errors, how many each has, and the way to them alone."""
    counts = Counter(error["sheet"] or WHOLE_FILE for error in errors)
    return [
        {
            "name": name,
            "count": counts[name],
            "href": address(request.path, {"sheet": [name]}, at="errors"),
            "here": name == chosen,
        }
        for name in sorted(counts)
    ]
