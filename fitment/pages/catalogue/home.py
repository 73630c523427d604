"""The catalogue's front page: how it stands, a workbook in, a workbook out, what changed it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt, csrf_protect

from catalog.codes import Role
from catalog.models import Edition, Upload
from catalog.selectors.editions import editions_newest_first, uploads_newest_first
from catalog.workbook.cells import MOST_BYTES
from catalog.workbook.reading import no_workbook
from catalog.workbook.storage import row_counts
from fitment.pages.catalogue.paging import paged
from fitment.pages.catalogue.progress import state_words
from fitment.pages.shared.page import page
from fitment.services.catalogue.downloads import is_long
from fitment.services.catalogue.uploads import TooLarge, upload_take
from fitment.sheets import SHEETS

FORM_ROOM = 100_000  # bytes of the form beside its file
EDITIONS_A_PAGE = 15
UPLOADS_SHOWN = 8
# Too large a form is refused before anything reads it; the check against forgery reads it.


@dataclass(frozen=True, slots=True)
class EditionLine:
    """An edition of the history, its counts summed up over the sheets; `answers` of them changed."""

    number: int
    made_at: datetime
    by: str
    source: str
    added: int
    changed: int
    removed: int
    sheets: str
    answers: int

    @classmethod
    def of(cls, edition: Edition) -> "EditionLine":
        counts: Mapping[str, Mapping[str, int]] = edition.counts
        added, changed, removed = (
            sum(of.get(what, 0) for of in counts.values()) for what in ("added", "changed", "removed")
        )
        touched = [name for name, of in counts.items() if any(of.get(what) for what in ("added", "changed", "removed"))]
        several = len(touched) > 3
        sheets = f"{len(touched)} sheets" if several else ", ".join(touched)
        answers = edition.reach.get("answers", {}).get("changes", 0)
        return cls(
            edition.number, edition.made_at, edition.actor_name, edition.source, added, changed, removed, sheets,
            answers,
        )  # fmt: skip


@csrf_exempt
@page(role=Role.EDITOR, methods="GET HEAD POST", writes=True)
def home(request: HttpRequest) -> HttpResponse:
    if int(request.headers.get("Content-Length") or 0) > MOST_BYTES + FORM_ROOM:
        return _page(request, error=f"{TooLarge()}.", status=413)
    return _home(request)


@csrf_protect
def _home(request: HttpRequest) -> HttpResponse:
    if request.method != "POST":
        return _page(request)
    file = request.FILES.get("file")
    if file is None:
        return _page(request, error="Choose an .xlsx file, or a zip of .csv files.", status=422)
    content = file.read()
    wrong = no_workbook(file.name or "workbook", content)
    if wrong is not None:
        return _page(request, error=f"{wrong.wrong}; {wrong.right}.", status=422)
    wishes = {name: request.POST.get(name) == "yes" for name in ("replace", "force")}
    try:
        upload = upload_take(name=file.name or "workbook", content=content, actor=request.user, **wishes)
    except TooLarge as error:
        return _page(request, error=f"{error}.", status=413)
    return HttpResponseRedirect(reverse("catalogue-check", args=[upload.pk]), status=303)


def _page(request: HttpRequest, *, error: str = "", status: int = 200) -> HttpResponse:
    counts = row_counts(SHEETS)
    posted = request.POST if request.method == "POST" and status != 413 else {}
    history = paged(request, editions_newest_first(), EDITIONS_A_PAGE, at="history")
    context: dict[str, Any] = {
        "error": error,
        "errors": [{"label": "Workbook", "href": "#f-file", "message": error}] if error else [],
        "replace": posted.get("replace") == "yes",
        "force": posted.get("force") == "yes",
        "counts": counts.items(),
        "row_count": sum(counts.values()),
        "long": is_long(sum(counts.values())),
        "uploads": [_upload(upload) for upload in uploads_newest_first()[:UPLOADS_SHOWN]],
        "history": {**history, "rows": [EditionLine.of(edition) for edition in history["rows"]]},
        "most": MOST_BYTES // 1_000_000,
    }
    return render(request, "catalogue/home.html", context, status=status)


def _upload(upload: Upload) -> dict[str, Any]:
    return {
        "href": reverse("catalogue-check", args=[upload.pk]),
        "name": upload.name,
        "made_at": upload.made_at,
        "by": upload.actor_name,
        "words": state_words(upload),
        "wishes": [word for word, wished in (("replace", upload.replace), ("force", upload.force)) if wished],
        "edition": upload.edition_loaded,
    }
