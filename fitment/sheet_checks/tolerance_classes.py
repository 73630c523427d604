"""A tolerance class is one that ISO 286 has; else the nearest that it has is named."""

from catalog.workbook.draft import Draft
from fitment.engineering.errors import BadClass
from fitment.engineering.tolerances import limits, nearest_class

CLASSES = (("components", "bore_class"), ("revisions", "outside_class"))


def check_tolerance_classes(draft: Draft) -> None:
    """Of new and changed components and revisions."""
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
