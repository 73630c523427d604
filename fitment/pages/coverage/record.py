"""`/test-fit/new/`: a test fit, a measurement or a job time, recorded on the workshop phone.

The form carries the reference of the row it will make: sent twice, by hand or by a phone that found its network again,
it makes one row.
"""

import re
import secrets
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from catalog.roles import Role
from fitment.facts.editions import at_edition
from fitment.models import JobTime, TestFit
from fitment.pages.access import needs
from fitment.pages.addresses import address

from .entry import Entry
from .matrix import cell_address

KINDS = {
    "test-fit": ("Test fit", "test_fits", (
        "ref", "part", "revision", "variant", "axle", "location", "component", "side", "outcome", "done_on", "findings",
        "serial", "km",
    )),
    "measurement": ("Measurement", "measurements", (
        "component", "feature", "mean_mm", "samples", "spread_mm", "uncertainty_mm", "measured_on",
    )),
    "job-time": ("Job time", "job_times", (
        "ref", "variant", "parts", "side", "minutes", "equipment", "after_work", "done_on", "car",
    )),
}  # fmt: skip
_PREFIX = {"test_fits": "TF", "job_times": "JT"}
_MODEL: dict[str, Any] = {"test_fits": TestFit, "job_times": JobTime}
_DAYS = {"done_on", "measured_on"}
_REF = re.compile(r"(TF|JT)-[0-9A-F]{10}")


@needs(Role.DEVELOPMENT)
@require_http_methods(["GET", "HEAD", "POST"])
def record(request: HttpRequest) -> HttpResponse:
    kind = request.GET.get("kind", "test-fit")
    kind = kind if kind in KINDS else "test-fit"
    _, sheet, columns = KINDS[kind]
    today = timezone.localdate().isoformat()
    given = {name: today for name in columns if name in _DAYS}
    if sheet in _PREFIX:
        given["ref"] = f"{_PREFIX[sheet]}-{secrets.token_hex(5).upper()}"
    entry = Entry(request, sheet, columns, given)
    if sheet in _PREFIX and not _REF.fullmatch(entry.values["ref"]):
        entry.values["ref"] = given["ref"]
    if entry.is_posted and (_stands(entry) or entry.take()):
        return HttpResponseRedirect(_stored(kind, entry), status=303)
    with at_edition():
        return _page(request, kind, entry)


def _stands(entry: Entry) -> bool:
    """Whether this very form was stored before: its reference is nobody else's."""
    model = _MODEL.get(entry.sheet.name)
    return (
        entry.request.POST.get("step") == "save"
        and model is not None
        and model.objects.filter(ref=entry.values["ref"]).exists()
    )


def _stored(kind: str, entry: Entry) -> str:
    query = {"kind": [kind], "stored": [entry.values.get("ref") or "yes"]}
    for name in ("axle", "location", "component"):
        if entry.values.get(name):
            query[name] = [entry.values[name]]
    return address(reverse("record"), query)


def _page(request: HttpRequest, kind: str, entry: Entry) -> HttpResponse:
    fields = entry.fields()
    for field in fields:
        if field["name"] == "ref":
            field["kind"] = "hidden"
        elif field["name"] in _DAYS:
            field["kind"] = "date"
    stored = request.GET.get("stored", "")
    kept = {name: request.GET.getlist(name) for name in ("axle", "location", "component", "part", "revision", "variant")
            if request.GET.get(name)}  # fmt: skip
    place = [request.GET.get(name, "") for name in ("axle", "location", "component")]
    context = {
        "kind": kind, "label": KINDS[kind][0], "entry": entry, "fields": fields, "errors": entry.on_top(),
        "action": address(reverse("record"), kept | {"kind": [kind]}),
        "tabs": [(label, address(reverse("record"), kept | {"kind": [name]}), name == kind)
                 for name, (label, _, _) in KINDS.items()],
        "stored": stored[:40],
        "cell": cell_address(*place) if stored and all(place) else "",
        "draft": f"record {kind}",
        "title_rows": [{"label": "Record", "value": KINDS[kind][0]}],
    }  # fmt: skip
    return render(request, "coverage/record.html", context, status=entry.status)
