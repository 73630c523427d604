"""The catalogue's front page: how it stands, a workbook in, a workbook out, what changed it."""

from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt, csrf_protect

from catalog.codes import ChangeAction, Role
from catalog.models import Edition, Upload
from catalog.selectors.editions import editions_newest_first, uploads_newest_first
from catalog.workbook.cells import MOST_BYTES
from catalog.workbook.reading import no_workbook
from catalog.workbook.storage import row_counts
from fitment.pages.catalogue.shared import paged
from fitment.pages.shared.page import page
from fitment.services.catalogue.downloads import is_long
from fitment.services.catalogue.uploads import TooLarge, upload_take
from fitment.sheets import SHEETS
from fitment.text.catalogue import NO_FILE, STATES, sheets_words

FORM_ROOM = 100_000  # bytes of the form beside its file
EDITIONS_A_PAGE = 15
UPLOADS_SHOWN = 8
OPTIONS = ("replace", "force")
# Too large a form is refused before anything reads it; the check against forgery reads it.


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
        return _page(request, error=NO_FILE, status=422)
    content = file.read()
    wrong = no_workbook(file.name or "workbook", content)
    if wrong is not None:
        return _page(request, error=f"{wrong.wrong}; {wrong.right}.", status=422)
    options = {name: request.POST.get(name) == "yes" for name in OPTIONS}
    try:
        upload = upload_take(name=file.name or "workbook", content=content, actor=request.user, **options)
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
        **{name: posted.get(name) == "yes" for name in OPTIONS},
        "counts": counts.items(),
        "row_count": sum(counts.values()),
        "long": is_long(sum(counts.values())),
        "uploads": [_upload(upload) for upload in uploads_newest_first()[:UPLOADS_SHOWN]],
        "history": {**history, "rows": [_edition(edition) for edition in history["rows"]]},
        "most": MOST_BYTES // 1_000_000,
    }
    return render(request, "catalogue/home.html", context, status=status)


def _upload(upload: Upload) -> dict[str, Any]:
    return {
        "href": reverse("catalogue-check", args=[upload.pk]),
        "name": upload.name,
        "made_at": upload.made_at,
        "by": upload.actor_name,
        "words": STATES[upload.state],
        "options": [name for name in OPTIONS if getattr(upload, name)],
        "edition": upload.edition_loaded,
    }


def _edition(edition: Edition) -> dict[str, Any]:
    """An edition of the history, its counts summed up over the sheets; `answers` of them changed."""
    counts = edition.counts.values()
    changed = [name for name, of in edition.counts.items() if any(of.get(action) for action in ChangeAction)]
    return {
        "number": edition.number,
        "made_at": edition.made_at,
        "by": edition.actor_name,
        "source": edition.source,
        **{action.value: sum(of.get(action, 0) for of in counts) for action in ChangeAction},
        "sheets": sheets_words(changed),
        "answers": edition.reach.get("answers", {}).get("changes", 0),
    }
