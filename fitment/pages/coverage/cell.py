"""`/coverage/<axle>/<location>/`: one cell, all that is known to decide it, and the decision."""

from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from catalog.codes import Decision, Measurable, Position, Role
from fitment.coverage.cells import CoverageCell
from fitment.coverage.component_verdicts import RevisionKey
from fitment.coverage.counting import CellKey
from fitment.domain.interfaces import AxlePlace
from fitment.engineering.tolerances import Interval
from fitment.pages.coverage.lists import cell_address, cell_view, group_verdicts
from fitment.pages.coverage.match_views import match_line, match_view, nearest_first, size_lines
from fitment.pages.coverage.row_form import RowForm
from fitment.pages.shared.page import page
from fitment.readers.editions import at_edition
from fitment.readers.interfaces import read_revisions
from fitment.readers.vocabulary import names
from fitment.services.coverage.cells import CellRecord, cell_record, coverage, groups_of_cell, order_of_work
from fitment.services.coverage.engineering import ComponentMatches, component_matches, joint_loads
from fitment.text.coverage import DEMANDS, MEANINGS, TEST_FIT_MISSING
from fitment.text.engineering import missing_fact
from fitment.text.fit import basis_words

DRAWN, LISTED = 4, 40
DECISION = ["part", "revision", "decision", "conditions", "orientation_deg", "orientation_from", "remark"]
STANCE = ["stance", "reason", "next_step"]
_DECISIONS = [(Decision.PROPOSED, "propose"), (Decision.APPROVED, "approve"), (Decision.REJECTED, "reject")]


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
        record = cell_record(found.key)
        forms = _forms(request, found, record)
    for form in forms:
        if form.is_posted and form.take():
            return HttpResponseRedirect(f"{cell_address(found.key)}&stored={form.sheet.name}", status=303)
    with at_edition():
        return _page(request, found, there, matches, record, forms)


def _forms(request: HttpRequest, found: CoverageCell, record: CellRecord) -> tuple[RowForm, RowForm]:
    """The forms of a decision and of the stance."""
    key, stance = found.key, record.stance
    standing = {name: getattr(stance, name) for name in STANCE} if stance else {}
    near = dict(zip(("part", "revision"), found.by[0], strict=True)) if found.by else {}
    decided = near | {"component": key.component, "decided_on": timezone.localdate().isoformat()}
    place = {"axle": key.axle, "location": key.location}
    return (
        RowForm(request, "fit_decisions", DECISION, decided, cell=key),
        RowForm(request, "stances", STANCE, standing | place, cell=key),
    )


def _page(
    request: HttpRequest,
    found: CoverageCell,
    there: list[CoverageCell],
    matches: ComponentMatches,
    record: CellRecord,
    forms: tuple[RowForm, RowForm],
) -> HttpResponse:
    key = found.key
    # A stated size stands before the measured one.
    sizes: dict[str, Interval] = {size.feature: size.interval for size in reversed(matches.sizes) if size.interval}
    ordered = nearest_first(matches.matches, found.by)
    revisions = {(one.part, one.letter): one for one in read_revisions()}
    nearest = found.by[0] if found.by else (ordered[0].part, ordered[0].letter) if ordered else None
    place = (key.axle, key.location, key.component)
    decision, stance = forms
    decision.choose("part", [(part, part) for part in sorted({one.part for one in matches.matches})], empty="choose")
    decision.choose("decision", _DECISIONS, empty="choose")
    stance.choose("stance", Position.choices, empty="choose")
    posted = next((form for form in forms if form.is_posted), None)
    context: dict[str, Any] = {
        "view": cell_view(found),
        "cell": found,
        "key": key,
        "meaning": MEANINGS[found.state],
        "basis": basis_words(found.basis) if found.basis else "",
        "work": next((row for row in order_of_work() if row.cell.key == key), None),
        "platforms": sorted((chassis, share.uncovered) for (_, chassis), share in found.count.platforms.items()),
        "others": [cell_view(one) for one in there if one.key != key],
        "record": record,
        "sizes": size_lines(matches.sizes),
        "demands": [(words, getattr(matches.demands, name), unit) for name, (words, unit) in DEMANDS.items()],
        "drawn": [match_view(one, revisions[one.part, one.letter], sizes) for one in ordered[:DRAWN]],
        "rest": [match_line(one) for one in ordered[DRAWN : DRAWN + LISTED]],
        "groups": [(group, group_verdicts(group.verdicts)) for group in groups_of_cell(key)],
        "load": joint_loads((place,)).get(place),
        "missing": _missing(found, record, ordered[0].missing if ordered else ()),
        "stored": request.GET.get("stored", ""),
        "entry": posted,
        "stance_word": Position.word_of(stance.values["stance"]),
        "decision": decision,
        "stance": stance,
        "record_here": _record_address(key, nearest),
        "title_rows": [
            {"label": "Axle, joint", "value": f"{key.axle} {key.location}"},
            {"label": "Original joint", "value": key.component},
        ],
    }
    return render(request, "coverage/cell.html", context, status=posted.status if posted else 200)


def _missing(found: CoverageCell, record: CellRecord, missing: tuple[str, ...]) -> list[dict[str, str]]:
    """What stands between this cell and a decision, each with the way to record it where there is one."""
    lines = []
    for fact in missing:
        owner, _, name = fact.partition(".")
        query = {"kind": "measurement", "component": found.key.component, "feature": name}
        measured = owner == "component" and name in Measurable.values
        href = f"{reverse('record')}?{urlencode(query)}" if measured else ""
        lines.append({"text": missing_fact(fact), "href": href, "label": "measure it"})
    if found.waits and not record.test_fits:
        href = _record_address(found.key, found.by[0] if found.by else None)
        lines.append({"text": TEST_FIT_MISSING, "href": href, "label": "record one"})
    return lines


def _record_address(key: CellKey, revision: RevisionKey | None) -> str:
    query = {"axle": key.axle, "location": key.location, "component": key.component}
    if revision is not None:
        query |= {"part": revision[0], "revision": revision[1]}
    return f"{reverse('record')}?{urlencode(query)}"


def _which(request: HttpRequest, there: list[CoverageCell], wanted: str | None) -> HttpResponse:
    """Several original joints sit here: which one is meant."""
    first = there[0]
    context = {
        "title": names().location(first.end, first.key.location),
        "key": first.key,
        "wanted": wanted,
        "choices": [cell_view(one) for one in there],
    }
    return render(request, "coverage/which.html", context, status=404 if wanted else 200)
