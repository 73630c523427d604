"""A spring on a link names a link that has hardpoints."""

from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings


def check_wheels(draft: Draft, findings: Findings, /) -> None:
    """Of new and changed wheels, or of all when hardpoints go away."""
    get = draft.sheets["wheels"].get
    rows = draft.rows("wheels").items() if draft.has_lost("hardpoints") else draft.touched_rows("wheels")
    for key, row in rows:
        if get(row, "spring_kind") != "link":
            continue
        link = get(row, "spring_link")
        if not link:
            draft.fault(
                findings.faults,
                "wheels",
                key,
                "spring_link",
                "the spring stands on a link and none is named",
                "name the link",
            )
        elif (key[0], link) not in draft.rows("hardpoints"):
            known = [other[1] for other in draft.rows("hardpoints") if other[0] == key[0]]
            draft.fault(
                findings.faults,
                "wheels",
                key,
                "spring_link",
                f"the axle {key[0]} has no hardpoints of a link '{link}'{findings.faults.near(link, known)}",
                "name a link of the sheet hardpoints",
            )
