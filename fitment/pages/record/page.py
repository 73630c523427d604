"""`/test-fit/new/`: a test fit, a measurement or a job time, recorded on the workshop phone.

First the car and the joint, each a tap where the address does not name them; then a form of what must be said. The
form carries the reference of the row it will make: sent twice, by hand or by a phone that found its network again, it
makes one row.
"""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import Role
from catalog.roles import role_of
from fitment.coverage.counting import CellKey
from fitment.errors import BadParameters
from fitment.pages.coverage.lists import cell_address
from fitment.pages.record.form import RecordForm
from fitment.pages.record.kinds import KINDS, MEASUREMENT, TEST_FIT, RecordKind
from fitment.pages.record.subject import (
    Memory,
    RecordSubject,
    SubjectOffer,
    car_offers,
    joint_offers,
    lines_of,
    subject_of,
)
from fitment.pages.shared.addresses import Query, address
from fitment.pages.shared.page import page
from fitment.pages.shared.understood import LONGEST_TEXT, UnderstoodView, understood_view
from fitment.readers.editions import at_edition
from fitment.readers.vocabulary import names
from fitment.services.fit.understanding import understand
from fitment.services.lookup.numbers import look_up

BY_CODE = "by"  # `by=code`: every column typed
HEAR = "hear"  # the step of the box


@dataclass(frozen=True, slots=True)
class HeardSubject:
    """Where a text of one meaning leads (`target`), or what was understood of it and what to tap instead."""

    text: str
    target: str = ""
    hearing: UnderstoodView | None = None
    offers: tuple[SubjectOffer, ...] = ()


@page(role=Role.DEVELOPMENT, methods="GET HEAD POST", writes=True)
def record(request: HttpRequest) -> HttpResponse:
    kind = KINDS.get(request.GET.get("kind", ""), TEST_FIT)
    with at_edition():
        subject = subject_of(request.GET, role_of(request.user))
        if request.POST.get("step") == HEAR:
            heard = _heard(request, kind, subject)
            if heard.target:
                return HttpResponseRedirect(heard.target, status=303)
            return _page(RecordForm(request, kind, subject), heard)
    form = RecordForm(request, kind, subject)
    if form.is_posted and not form.refusals and form.take():
        answer = HttpResponseRedirect(_stored(form), status=303)
        Memory(request).keep(answer, form.values)
        return answer
    with at_edition():
        return _page(form)


def _stored(form: RecordForm) -> str:
    """A fresh form for the same car and joint, which says what was stored."""
    place = {name: [form.values[name]] for name in ("axle", "location", "component") if form.values.get(name)}
    stored = {"kind": [form.kind.name], "stored": [form.values.get("ref", form.token)]}
    query: Query = {**form.subject.query, **place, **stored}
    return address(reverse("record"), query, dropping=["parts", "feature"])


def _heard(request: HttpRequest, kind: RecordKind, subject: RecordSubject) -> HeardSubject:
    """What was written or scanned into the box: a car, or the number on a joint."""
    text = request.POST.get("q", "").strip()[:LONGEST_TEXT]
    viewer = role_of(request.user)
    components = _components(text, viewer) if kind is MEASUREMENT else []
    if len(components) == 1:
        return HeardSubject(text, subject.at(component=components[0]))
    understood = understand(text=text, viewer=viewer)
    if understood.certain_car is not None and not components:
        return HeardSubject(text, subject.with_car(understood.certain_car))
    account = understood_view(understood, text, car_address=subject.with_car)
    titles = names().components
    offers = [SubjectOffer(subject.at(component=code), code, titles.get(code, "")) for code in components]
    if understood.cars:
        offers += [SubjectOffer(offer.href, offer.label) for offer in account.offers[-len(understood.cars) :]]
    return HeardSubject("" if understood.private else text, hearing=account, offers=tuple(offers))


def _components(text: str, viewer: Role) -> list[str]:
    """The original joints that a text names: by their code, or by a number that stands for them."""
    code = text.upper()
    if code in names().components:
        return [code]
    try:
        found = look_up(number=text, issuer=None, viewer=viewer)
    except BadParameters:
        return []
    targets = (target.component for match in found.matches for target in match.targets)
    return list(dict.fromkeys(code for code in targets if code is not None))


def _asks(form: RecordForm) -> str:
    """What the page asks for: `car`, `joint`, the `form`, or the form `by_code`."""
    kind, subject = form.kind, form.subject
    if subject.query.get(BY_CODE) == ["code"]:
        return "by_code"
    if kind is TEST_FIT:
        settled = subject.has_place and not subject.may_be_several
    else:
        settled = bool(subject.component) if kind is MEASUREMENT else subject.car is not None
    if settled:
        return "form"
    if form.is_posted:
        return "by_code"
    return "joint" if subject.joints else "car"


def _page(form: RecordForm, heard: HeardSubject | None = None) -> HttpResponse:
    request, kind, subject = form.request, form.kind, form.subject
    asks, memory = _asks(form), Memory(request)
    if asks in ("form", "by_code"):
        form.lay_out(memory, role_of(request.user), by_code=asks == "by_code")
    stored = subject.query.get("stored", [""])[0][:40]
    key = CellKey(subject.axle, subject.location, subject.component)
    context = {
        "kind": kind,
        "asks": asks,
        "entry": form,
        "heard": heard,
        "action": subject.at(kind=kind.name),
        "tabs": [(one.label, subject.at(kind=one.name, feature="", parts=""), one is kind) for one in KINDS.values()],
        "lines": lines_of(subject) if asks in ("form", "joint") else [],
        "subject": subject,
        "offers": car_offers(subject, memory.cars) if asks == "car" else {},
        "joints": joint_offers(subject) if asks == "joint" else [],
        "by_code": subject.at(kind=kind.name, by="code"),
        "anew": subject.without_car(),
        "stored": stored if kind.prefix or not stored else "yes",
        "stored_token": stored,
        "cell": cell_address(key) if stored and subject.component and subject.has_place else "",
        "title_rows": [{"label": "Record", "value": kind.label}],
    }
    return render(request, "coverage/record.html", context, status=422 if heard else form.status)
