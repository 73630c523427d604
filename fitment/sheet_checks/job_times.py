"""Recorded jobs name equipment and places that there are."""

from catalog.codes import EquipmentSet
from catalog.sheets.sheet import Key, Row
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings
from fitment.sheets.kinds import scope_split


def check_job_times(draft: Draft, findings: Findings, /) -> None:
    """Of new and changed rows; of all when equipment or locations go away."""
    everywhere = draft.has_lost("equipment") or draft.has_lost("locations")
    rows = draft.rows("job_times").items() if everywhere else draft.touched_rows("job_times")
    places: set[tuple[str, str]] | None = None
    get = draft.sheets["job_times"].get
    for key, row in rows:
        _check_equipment(draft, findings, key, get(row, "equipment"))
        for scope in get(row, "parts").split():
            _, end, location = scope_split(scope)
            if not location:
                continue
            places = _places(draft) if places is None else places
            if (end, location) not in places:
                known = [other for at, other in places if at == end]
                draft.fault(
                    findings.faults,
                    "job_times",
                    key,
                    "parts",
                    f"no topology of the {end} end has a location '{location}'{findings.faults.near(location, known)}",
                    "name a location of the sheet locations",
                )


def _check_equipment(draft: Draft, findings: Findings, key: Key, text: str) -> None:
    for code in text.split():
        if code not in EquipmentSet.values and (code,) not in draft.rows("equipment"):
            known = [*EquipmentSet.values, *(other[0] for other in draft.rows("equipment"))]
            draft.fault(
                findings.faults,
                "job_times",
                key,
                "equipment",
                f"there is no equipment '{code}'{findings.faults.near(code, known)}",
                "write shop, home, or equipment of the sheet equipment",
            )


def _places(draft: Draft) -> set[tuple[str, str]]:
    end_of = draft.sheets["topologies"].get
    ends: dict[str, Row] = {key[0]: row for key, row in draft.rows("topologies").items()}
    return {(end_of(ends[key[0]], "end"), key[1]) for key in draft.rows("locations") if key[0] in ends}
