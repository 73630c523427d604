"""The first page: one box that takes what is known, and the steps for those who would rather pick."""

from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone

from catalog.roles import role_of
from catalog.selectors.examples import typed_examples
from fitment.pages.shared.addresses import address, number_address
from fitment.pages.shared.page import page
from fitment.pages.shared.understood import understood_view
from fitment.pages.start.steps import walk
from fitment.readers.editions import kept_for_edition
from fitment.services.fit.understanding import Understanding, understand

LONGEST_TEXT = 200

examples = kept_for_edition(entries=1)(typed_examples)


@page(methods="GET HEAD POST")
def start(request: HttpRequest) -> HttpResponse:
    if request.method == "POST":
        return _ask(request)
    return render(request, "start/page.html", _context(request))


def _ask(request: HttpRequest) -> HttpResponse:
    """Send a reader who was understood to the answer; tell the others what was not."""
    text = request.POST.get("q", "").strip()[:LONGEST_TEXT]
    understood = understand(text=text, viewer=role_of(request.user))
    target = _target(understood)
    if target is None and understood.looks_like_number and not understood.stamps:
        target = number_address(text)
    if target is not None:
        return HttpResponseRedirect(target, status=303)
    heard = understood_view(understood, text)
    context = _context(request) | {"asked_text": "" if understood.private else text, "hearing": heard}
    return render(request, "start/page.html", context, status=422)


def _target(understood: Understanding) -> str | None:
    """Where a text of one certain meaning leads; a number that nobody knows leads to what is near it."""
    if understood.several:
        return None
    if understood.number is not None:
        return number_address(understood.number)
    if understood.part is not None:
        return f"/part/{understood.part}/"
    if understood.certain_car is not None:
        return address("/car/", understood.certain_car)
    return None


def _context(request: HttpRequest) -> dict[str, Any]:
    chosen = {name: request.GET.get(name, "") for name in ("maker", "chassis", "variant")}
    return {"walk": walk(**chosen, today=timezone.localdate()), "hearing": None, "examples": examples()}
