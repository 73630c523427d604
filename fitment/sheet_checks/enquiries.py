"""An enquiry asks something."""

from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings

ASKED = ("maker", "chassis", "variant", "location", "number")


def check_enquiries(draft: Draft, findings: Findings, /) -> None:
    """A car, a place or a number is named."""
    get = draft.sheets["enquiries"].get
    for key, row in draft.touched_rows("enquiries"):
        if not any(get(row, name) for name in ASKED):
            draft.fault(
                findings.faults,
                "enquiries",
                key,
                "maker",
                "the enquiry names neither car nor place nor number",
                f"fill at least one of {', '.join(ASKED)}",
            )
