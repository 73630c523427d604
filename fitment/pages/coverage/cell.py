"""`/coverage/<axle>/<location>/`: one cell, all that is known to decide it, and the decision."""

from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from catalog.codes import Role
from catalog.models import Component
from fitment.coverage.cells import CoverageCell
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.tolerances import Interval
from fitment.models import FitDecision, Stance, TestFit
from fitment.pages.coverage.entry import Entry
from fitment.pages.coverage.match_views import match_line, match_view, nearest_first, size_lines
from fitment.pages.coverage.matrix import cell_address, whole
from fitment.pages.coverage.waiting_lines import waiting_lines
from fitment.pages.shared.page import page
from fitment.readers.editions import at_edition
from fitment.readers.interfaces import read_revisions
from fitment.readers.names import names
from fitment.services.coverage.cells import coverage, groups_of_cell, order_of_work
from fitment.services.coverage.loads import joint_loads
from fitment.services.coverage.matches import ComponentMatches, component_matches
from fitment.templatetags.figures import thousands
from fitment.text.coverage import LABELS, MEANINGS
from fitment.text.engineering import missing_fact
from fitment.text.fit import basis_words

DRAWN, LISTED = 4, 40
DECISION = ("part", "revision", "decision", "conditions", "orientation_deg", "orientation_from", "remark")
STANCE = ("stance", "reason", "next_step")
_VERDICT_CHOICES = [("proposed", "propose"), ("approved", "approve"), ("rejected", "reject")]
_STANCE_CHOICES = [("wanted", "wanted"), ("in_work", "in work"), ("not_offered", "not offered")]
_MEASURABLE = ("bore", "seat_length", "clevis_gap", "bolt", "taper_large", "centre_offset", "arm_outside")


@page(role=Role.DEVELOPMENT, methods="GET HEAD POST", writes=True)
def cell(request: HttpRequest, axle: str, location: str) -> HttpResponse:
    with at_edition():
        there = [one for one in coverage().cells if (one.key.axle, one.key.location) == (axle, location)]
        if not there:
            raise Http404
        wanted = request.GET.get("component")
        found = next((one for one in there if one.key.component == wanted), None)
        if found is None:
            if wanted is None and len(there) == 1:
                found = there[0]
            else:
                return _which(request, there, wanted)
        matches = component_matches(component=found.key.component, place=AxlePlace(axle, location))
        if matches is None:
            raise Http404
        entries = _entries(request, found)
    for entry in entries.values():
        if entry.is_posted and entry.take():
            here = cell_address(axle, location, found.key.component)
            return HttpResponseRedirect(f"{here}&stored={entry.sheet.name}", status=303)
    with at_edition():
        return _page(request, found, there, matches, entries)


def _entries(request: HttpRequest, found: CoverageCell) -> dict[str, Entry]:
    key = found.key
    today = timezone.localdate().isoformat()
    stance = Stance.objects.filter(axle__code=key.axle, location__code=key.location).first()
    standing = {name: getattr(stance, name) for name in STANCE} if stance else {}
    near = dict(zip(("part", "revision"), found.by[0], strict=True)) if found.by else {}
    decided = near | {"component": key.component, "decided_on": today}
    return {
        "decision": Entry(request, "fit_decisions", DECISION, decided, key),
        "stance": Entry(request, "stances", STANCE, standing | {"axle": key.axle, "location": key.location}, key),
    }


def _page(
    request: HttpRequest,
    found: CoverageCell,
    there: list[CoverageCell],
    matches: ComponentMatches,
    entries: dict[str, Entry],
) -> HttpResponse:
    key = found.key
    # A stated size stands before the measured one.
    sizes: dict[str, Interval] = {size.feature: size.interval for size in reversed(matches.sizes) if size.interval}
    ordered = nearest_first(matches.matches, found.by)
    revisions = {(one.part, one.letter): one for one in read_revisions()}
    drawn = [match_view(one, revisions[one.part, one.letter], sizes) for one in ordered[:DRAWN]]
    rest = [match_line(one) for one in ordered[DRAWN : DRAWN + LISTED]]
    decisions = FitDecision.objects.filter(component__code=key.component).select_related("revision__part")
    fits = TestFit.objects.filter(axle__code=key.axle, location__code=key.location).select_related(
        "revision__part", "variant", "component"
    )
    shown_fits = [fit for fit in fits.order_by("-done_on", "ref") if fit.component.code == key.component]
    place = (key.axle, key.location, key.component)
    load = joint_loads((place,)).get(place)
    work = next((row for row in order_of_work() if row.cell.key == key), None)
    component = Component.objects.get(code=key.component)
    decision, stance = entries["decision"], entries["stance"]
    parts = sorted({one.part for one in matches.matches})
    posted = next((entry for entry in entries.values() if entry.is_posted), None)
    context: dict[str, Any] = {
        "cell": found, "key": key, "title": names().location(found.end, key.location),
        "word": LABELS[found.state], "meaning": MEANINGS[found.state],
        "basis": basis_words(found.basis) if found.basis else "",
        "cars": whole(found.cars), "uncovered": whole(found.uncovered), "work": work,
        "platforms": sorted((chassis, whole(share.uncovered)) for (_, chassis), share in found.count.platforms.items()),
        "others": [(one.key.component, cell_address(key.axle, key.location, one.key.component)) for one in there
                   if one.key.component != key.component],
        "component": component, "construction": component.construction.replace("_", " "),
        "process": component.process.replace("_", " "), "sizes": size_lines(matches.sizes), "demands": matches.demands,
        "asked": _asked(matches), "drawn": drawn, "rest": rest,
        "tests": shown_fits,
        "decisions": list(decisions.order_by("revision__part__code", "revision__letter", "decision")),
        "waiting": waiting_lines(groups_of_cell(key), cell_address(key.axle, key.location, key.component)),
        "load": load, "load_kn": f"{load.braking_n / 1000:.1f}" if load else "",
        "load_share": f"{load.share:.0%}" if load else "",
        "missing": _missing(found, matches, shown_fits, ordered[0].missing if ordered else ()),
        "action": cell_address(key.axle, key.location, key.component),
        "stored": request.GET.get("stored", ""),
        "entry": posted, "errors": posted.on_top() if posted else [],
        "stance_word": dict(_STANCE_CHOICES).get(stance.values["stance"], stance.values["stance"]),
        "decision": decision, "stance": stance,
        "decision_fields": decision.fields(
            {"part": [(part, part) for part in parts], "decision": _VERDICT_CHOICES}
        ),
        "stance_fields": stance.fields({"stance": _STANCE_CHOICES}),
        "record": _record(key, found.by[0] if found.by else (ordered[0].part, ordered[0].letter) if ordered else None),
        "title_rows": [{"label": "Axle, joint", "value": f"{key.axle} {key.location}"},
                       {"label": "Original joint", "value": key.component}],
    }  # fmt: skip
    return render(request, "coverage/cell.html", context, status=posted.status if posted else 200)


def _asked(matches: ComponentMatches) -> list[tuple[str, str, str]]:
    demands = matches.demands
    rows = (("Rotation each way", demands.rotation, "°"), ("Tilt each way", demands.tilt, "°"),
            ("Hold of the press fit", demands.retention, "N"))  # fmt: skip
    return [(name, "" if asked.value is None else thousands(asked.value), unit) for name, asked, unit in rows]


def _missing(
    found: CoverageCell, matches: ComponentMatches, tests: list[TestFit], missing: tuple[str, ...]
) -> list[dict[str, str]]:
    """What stands between this cell and a decision, each with the way to record it where there is one."""
    lines = []
    for fact in missing:
        owner, _, name = fact.partition(".")
        measured = owner == "component" and name in _MEASURABLE
        query = {"kind": "measurement", "component": found.key.component, "feature": name}
        lines.append(
            {
                "text": missing_fact(fact),
                "href": f"{reverse('record')}?{urlencode(query)}" if measured else "",
                "label": "measure it",
            }
        )
    if found.waits and not tests:
        by = found.by[0] if found.by else None
        lines.append({"text": "a test fit on a car", "href": _record(found.key, by), "label": "record one"})
    return lines


def _record(key: Any, by: tuple[str, str] | None) -> str:
    query = {"axle": key.axle, "location": key.location, "component": key.component}
    if by is not None:
        query |= {"part": by[0], "revision": by[1]}
    return f"{reverse('record')}?{urlencode(query)}"


def _which(request: HttpRequest, there: list[CoverageCell], wanted: str | None) -> HttpResponse:
    """Several original joints sit here: which one is meant."""
    first = there[0]
    context = {
        "title": names().location(first.end, first.key.location), "key": first.key, "wanted": wanted,
        "choices": [(one, LABELS[one.state], whole(one.uncovered),
                     cell_address(one.key.axle, one.key.location, one.key.component)) for one in there],
    }  # fmt: skip
    return render(request, "coverage/which.html", context, status=404 if wanted else 200)
