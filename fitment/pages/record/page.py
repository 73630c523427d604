"""`/test-fit/new/`: a test fit, a measurement or a job time, recorded on the workshop phone.

First the car and the joint, each a tap where the address does not name them; then a form of what must be said. The
form carries the reference of the row it will make: sent twice, by hand or by a phone that found its network again, it
makes one row.
"""

import re
import secrets
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from catalog.codes import Role
from catalog.roles import role_of
from fitment.pages.coverage.entry import Entry
from fitment.pages.coverage.matrix import cell_address
from fitment.pages.record.form import FITTED, READING, Form, form_of, scope_from
from fitment.pages.record.hearing import HEAR, heard_of
from fitment.pages.record.kinds import KINDS, Kind, taken_together
from fitment.pages.record.memory import Memory
from fitment.pages.record.subject import Subject, car_offers, joint_offers, lines_of, subject_of
from fitment.pages.shared.addresses import Query, address
from fitment.pages.shared.page import page
from fitment.readers.editions import at_edition

BY_CODE = "by"  # `by=code`: every column typed
_TOKEN = re.compile(r"[0-9A-F]{10}")


@page(role=Role.DEVELOPMENT, methods="GET HEAD POST", writes=True)
def record(request: HttpRequest) -> HttpResponse:
    kind = KINDS.get(request.GET.get("kind", ""), KINDS["test-fit"])
    memory = Memory(request)
    with at_edition():
        subject = subject_of(request.GET, role_of(request.user))
        if request.POST.get("step") == HEAR:
            return _hear(request, kind, subject, memory)
    entry, token = _entry(request, kind, subject)
    if entry.is_posted and not entry.errors and entry.take():
        answer = HttpResponseRedirect(_stored(kind, entry, subject, token), status=303)
        memory.keep(answer, entry.values)
        return answer
    with at_edition():
        return _page(request, kind, subject, memory, entry, token)


def _entry(request: HttpRequest, kind: Kind, subject: Subject) -> tuple[Entry, str]:
    """The row under the pen and the token of this form, of which the reference is made."""
    given = {kind.day: timezone.localdate().isoformat()}
    if kind.name == "job-time":
        given["parts"] = " ".join(request.GET.getlist("parts")) or scope_from(subject)
    entry = Entry(request, kind.sheet, kind.columns, given)
    said = request.POST.get("token", "") or entry.values.get("ref", "").removeprefix(f"{kind.prefix}-")
    token = said if entry.is_posted and _TOKEN.fullmatch(said) else secrets.token_hex(5).upper()
    if kind.prefix:
        entry.values["ref"] = f"{kind.prefix}-{token}"
    _take_apart(request, kind, entry)
    return entry, token


def _take_apart(request: HttpRequest, kind: Kind, entry: Entry) -> None:
    """Fields of the form that stand for several columns, or several fields for one."""
    if kind.name == "job-time":
        source = request.POST if entry.is_posted else request.GET
        entry.values["parts"] = " ".join(filter(None, source.getlist("parts"))) or entry.values["parts"]
    if not entry.is_posted:
        return
    if FITTED in request.POST:
        part, _, revision = request.POST[FITTED].strip().partition(" ")
        entry.values |= {"part": part, "revision": revision}
    if kind.name == "measurement" and any(text.strip() for text in request.POST.getlist(READING)):
        _take_readings(request, entry)


def _take_readings(request: HttpRequest, entry: Entry) -> None:
    if entry.values["mean_mm"] or entry.values["samples"] or entry.values["spread_mm"]:
        entry.refuse("mean_mm", "stands beside single readings; leave mean, pieces and spread empty, or the readings")
        return
    try:
        entry.values |= taken_together(request.POST.getlist(READING))
    except ValueError as fault:
        entry.refuse("mean_mm", str(fault))


def _stored(kind: Kind, entry: Entry, subject: Subject, token: str) -> str:
    """A fresh form for the same car and joint, which says what was stored."""
    said = {name: [entry.values[name]] for name in ("axle", "location", "component") if entry.values.get(name)}
    query: Query = {**subject.query, **said, "kind": [kind.name], "stored": [entry.values.get("ref", token)]}
    return address(reverse("record"), query, dropping=["parts", "feature"])


def _hear(request: HttpRequest, kind: Kind, subject: Subject, memory: Memory) -> HttpResponse:
    heard = heard_of(request, kind, subject)
    if heard.target:
        return HttpResponseRedirect(heard.target, status=303)
    entry, token = _entry(request, kind, subject)
    return _page(request, kind, subject, memory, entry, token, {"heard": heard}, status=422)


def _asks(kind: Kind, entry: Entry, subject: Subject) -> str:
    """What the page asks for: `car`, `joint`, the `form`, or the form `by_code`."""
    if subject.query.get(BY_CODE) == ["code"]:
        return "by_code"
    settled = {
        "test-fit": subject.has_place and not subject.may_be_several,
        "measurement": bool(subject.component),
        "job-time": subject.car is not None,
    }[kind.name]
    if settled:
        return "form"
    if entry.is_posted:
        return "by_code"
    return "joint" if subject.joints else "car"


def _page(
    request: HttpRequest,
    kind: Kind,
    subject: Subject,
    memory: Memory,
    entry: Entry,
    token: str,
    more: dict[str, Any] | None = None,
    status: int = 0,
) -> HttpResponse:
    asks = _asks(kind, entry, subject)
    form: Form | None = None
    if asks in ("form", "by_code"):
        form = form_of(kind, entry, subject, memory, role_of(request.user), by_code=asks == "by_code")
    stored = subject.query.get("stored", [""])[0][:40]
    place = (subject.axle, subject.location, subject.component)
    context = {
        "kind": kind, "asks": asks, "entry": entry, "form": form, "token": token,
        "errors": _on_top(entry, form), "action": subject.at(kind=kind.name),
        "tabs": [(one.label, subject.at(kind=one.name, feature="", parts=""), one is kind) for one in KINDS.values()],
        "lines": lines_of(subject) if asks in ("form", "joint") else [], "subject": subject,
        "offers": car_offers(subject, memory.cars) if asks == "car" else {},
        "joints": joint_offers(subject) if asks == "joint" else [],
        "by_code": subject.at(kind=kind.name, by="code"), "anew": subject.without_car(),
        "stored": stored if kind.prefix or not stored else "yes", "stored_token": stored,
        "cell": cell_address(*place) if stored and all(place) else "",
        "title_rows": [{"label": "Record", "value": kind.label}],
    }  # fmt: skip
    return render(request, "coverage/record.html", context | (more or {}), status=status or entry.status)


def _on_top(entry: Entry, form: Form | None) -> list[dict[str, str]]:
    """The errors, each leading to the field at which its column is said."""
    found = entry.on_top()
    for error, (column, _) in zip(found, entry.errors, strict=True):
        at = form.first_of(column) if form else ""
        error["href"] = f"#{at}" if at else ""
    return found
