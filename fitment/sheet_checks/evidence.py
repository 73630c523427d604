"""Recorded jobs, springs, enquiries and tolerance classes name what there is."""

from catalog.codes import EquipmentSet, SpringKind
from catalog.workbook.draft import Draft
from fitment.engineering.errors import BadClass
from fitment.engineering.tolerances import limits, nearest_class
from fitment.sheets.kinds import scope_split

CLASSES = (("components", "bore_class"), ("revisions", "outside_class"))
ASKED = ("maker", "chassis", "variant", "location", "number")


def check_enquiries(draft: Draft) -> None:
    """A car, a place or a number is named."""
    get = draft.sheets["enquiries"].get
    for key, row in draft.changed_rows("enquiries"):
        if not any(get(row, name) for name in ASKED):
            wrong = "the enquiry names neither car nor place nor number"
            draft.error("enquiries", key, "maker", wrong, f"fill at least one of {', '.join(ASKED)}")


def check_job_times(draft: Draft) -> None:
    """Equipment and places of new and changed rows; of all when equipment or locations go away."""
    every = draft.has_removed("equipment") or draft.has_removed("locations")
    rows = draft.rows("job_times").items() if every else draft.changed_rows("job_times")
    get, equipment = draft.sheets["job_times"].get, draft.rows("equipment")
    places: set[tuple[str, str]] | None = None
    for key, row in rows:
        for code in get(row, "equipment").split():
            if code not in EquipmentSet.values and (code,) not in equipment:
                near = draft.near(code, [*EquipmentSet.values, *(other[0] for other in equipment)])
                right = "write shop, home, or equipment of the sheet equipment"
                draft.error("job_times", key, "equipment", f"there is no equipment '{code}'{near}", right)
        for scope in get(row, "parts").split():
            _, end, location = scope_split(scope)
            places = _places(draft) if places is None and location else places
            if location and (end, location) not in (places or ()):
                near = draft.near(location, [other for at, other in places or () if at == end])
                wrong = f"no topology of the {end} end has a location '{location}'{near}"
                draft.error("job_times", key, "parts", wrong, "name a location of the sheet locations")


def _places(draft: Draft) -> set[tuple[str, str]]:
    get = draft.sheets["topologies"].get
    ends = {key[0]: get(row, "end") for key, row in draft.rows("topologies").items()}
    return {(ends[topology], location) for topology, location in draft.rows("locations") if topology in ends}


def check_wheels(draft: Draft) -> None:
    """A spring on a link names one with hardpoints: of new and changed wheels, or of all when hardpoints go away."""
    get, hardpoints = draft.sheets["wheels"].get, draft.rows("hardpoints")
    every = draft.has_removed("hardpoints")
    for key, row in draft.rows("wheels").items() if every else draft.changed_rows("wheels"):
        link = get(row, "spring_link")
        if get(row, "spring_kind") != SpringKind.LINK:
            continue
        if not link:
            wrong = "the spring stands on a link and none is named"
            draft.error("wheels", key, "spring_link", wrong, "name the link")
        elif (key[0], link) not in hardpoints:
            near = draft.near(link, [other[1] for other in hardpoints if other[0] == key[0]])
            wrong = f"the axle {key[0]} has no hardpoints of a link '{link}'{near}"
            draft.error("wheels", key, "spring_link", wrong, "name a link of the sheet hardpoints")


def check_tolerance_classes(draft: Draft) -> None:
    """A class of ISO 286 is one; else the nearest that there is is named."""
    for sheet, column in CLASSES:
        get = draft.sheets[sheet].get
        for key, row in draft.changed_rows(sheet):
            written = get(row, column)
            try:
                if written:
                    limits(written)
            except BadClass as bad:
                near = nearest_class(written)
                wrong = f"'{written}' is not allowed: {bad}" + (f" (nearest: {near})" if near else "")
                draft.error(sheet, key, column, wrong, "write a class of ISO 286, such as 62 N7")
