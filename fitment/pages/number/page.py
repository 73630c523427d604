"""The page of a number or stamp: what it is, its chain, cars, upgrades, holds; what is not known can be counted."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone

from catalog.codes import Near, Role
from catalog.rates import ENQUIRY, count_request
from catalog.roles import role_of
from catalog.vin import has_vin_shape
from fitment.answers.lookup import LookUp
from fitment.errors import BadParameters
from fitment.pages.number.match import match_view, stamp_view
from fitment.pages.shared.addresses import address, number_address
from fitment.pages.shared.page import page
from fitment.services.demand import NUMBER_LENGTH, DayIsFull, enquiry_check, enquiry_log, number_asked_today
from fitment.services.lookup.numbers import look_up
from fitment.text.cautions import USUAL_CAUTIONS
from fitment.text.lookup import TOO_MANY_QUESTIONS, VIN_INTO_BOX


@page(methods="GET HEAD POST")
def number(request: HttpRequest, number: str) -> HttpResponse:
    viewer = role_of(request.user)
    issuer = request.GET.get("issuer") or None
    if has_vin_shape(number) or has_vin_shape(issuer or ""):
        return _refused(request, [VIN_INTO_BOX])
    try:
        found = look_up(number=number, issuer=issuer, viewer=viewer)
    except BadParameters as fault:
        return _refused(request, [message[:1].upper() + message[1:] for _, message in fault.errors])
    if request.method == "POST":
        return _log(request, found)
    return render(request, "number/page.html", _context(request, found, viewer))


def _log(request: HttpRequest, found: LookUp) -> HttpResponse:
    """Count that this number was asked for, and show the page again, which says so."""
    if not request.user.is_authenticated and (wait := _seconds_over_rate(request)):
        answer = _refused(request, [TOO_MANY_QUESTIONS], status=429)
        answer["Retry-After"] = str(int(wait) + 1)
        return answer
    try:
        enquiry_log(asked=enquiry_check({"number": found.asked.number}), today=timezone.localdate())
    except BadParameters as fault:
        return _refused(request, [message for _, message in fault.errors])
    except DayIsFull as full:
        return _refused(request, [f"{full}."], status=429)
    page = number_address(found.asked.number, found.asked.issuer)
    return HttpResponseRedirect(f"{page}{'&' if '?' in page else '?'}logged=yes#logged", status=303)


def _seconds_over_rate(request: HttpRequest) -> float:
    """How long an address that asks too often has to wait, 0 for others; the API counts in the same place."""
    address = request.META.get("REMOTE_ADDR", "")
    allowed, left = count_request(scope=ENQUIRY, address=address, rate=settings.ENQUIRY_RATE)
    return 0.0 if allowed else left


def _context(request: HttpRequest, found: LookUp, viewer: Role) -> dict[str, Any]:
    asked = found.asked
    matches = [match_view(match, position) for position, match in enumerate(found.matches, start=1)]
    stamp = stamp_view(found.stamp, staff=viewer.is_staff) if found.stamp is not None else None
    unanswered = stamp is None and all(match.unanswered for match in matches)
    logged = unanswered and request.GET.get("logged") == "yes"
    return {
        "asked": asked,
        "title": f"{stamp.part} {stamp.revision}"
        if stamp
        else matches[0].number
        if len(matches) == 1
        else asked.number,
        "matches": matches,
        "stamp": stamp,
        "near": [
            {
                "number": near.number,
                "issuer": near.issuer,
                "href": number_address(near.number, near.issuer),
                "why": Near.word_of(near.by),
            }
            for near in found.near
        ],
        "unknown": stamp is None and not matches,
        "loggable": unanswered and len(asked.normal) <= NUMBER_LENGTH,
        "logged": number_asked_today(asked.normal) if logged else None,
        "action": address(request.path, {"issuer": [asked.issuer]} if asked.issuer else {}),
        "cautions": USUAL_CAUTIONS if stamp or any(match.upgrades for match in matches) else (),
    }


def _refused(request: HttpRequest, texts: list[str], *, status: int = 400) -> HttpResponse:
    """Never repeats what was asked: it may name one person's car."""
    return render(request, "number/refused.html", {"texts": texts}, status=status)
