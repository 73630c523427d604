"""How far the worker has come with a workbook, live; then the whole page, with what it made."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.models import Download, Upload
from fitment.text.catalogue import STATES, counted, stage_words


def progress_page(
    request: HttpRequest, work: Upload | Download, template: str, context: dict[str, Any], *, href: str
) -> HttpResponse:
    """The page of long work: with a bar while it is at work, and for a script the bar alone."""
    by_htmx = getattr(request, "htmx", False)
    if not work.is_at_work:
        # The bar is full: the whole page comes anew.
        return HttpResponse(headers={"HX-Refresh": "true"}) if by_htmx else render(request, template, context)
    progress = {
        "words": STATES[work.state],
        "stage": stage_words(work.stage, work.state),
        "done": work.done,
        "total": work.total,
        "counted": counted(work.done, work.total),
    }
    context |= {"progress": progress, "work": work, "href": href}
    return render(request, "catalogue/progress.html" if by_htmx else template, context)
