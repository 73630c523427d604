"""Part numbers of one kind, and chains of supersessions without rings."""

from collections import defaultdict
from itertools import pairwise

from catalog.chains import Step, ring
from catalog.sheets.sheet import Key
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings


def check_numbers(draft: Draft, findings: Findings, /) -> None:
    """All rows of one number have one kind."""
    sheet = draft.sheets["numbers"]
    for issuer, number in dict.fromkeys(key[:2] for key, _ in draft.touched_rows("numbers")):
        rows = draft.rows("numbers").where(issuer=issuer, number=number)
        first, *others = sorted(rows, key=lambda key: (draft.row_number("numbers", key) or 0, key))
        there = sheet.get(rows[first], "kind")
        for key in others:
            here = sheet.get(rows[key], "kind")
            if here and there and here != there:
                printed = sheet.get(rows[key], "number")
                wrong = f"{printed} is a number of kind {here} here and {there} in another row"
                right = f"all rows of one number have one kind: write {there} in all, or {here} in all"
                draft.fault(findings.faults, "numbers", key, "kind", wrong, right)


def check_supersessions(draft: Draft, findings: Findings, /) -> None:
    """No number takes, over others, its own place; of several rings each is named."""
    touched = {key[0] for key, _ in draft.touched_rows("supersessions")}
    steps: dict[str, dict[tuple[str, str], Key]] = defaultdict(dict)
    for key in draft.rows("supersessions") if touched else ():
        if key[0] in touched:
            steps[key[0]][key[1], key[2]] = key
    for links in steps.values():
        while (numbers := ring(Step(old, new, "") for old, new in links)) is not None:
            del links[_name_ring(draft, findings, numbers, links)]


def _name_ring(
    draft: Draft, findings: Findings, numbers: list[str], links: dict[tuple[str, str], Key]
) -> tuple[str, str]:
    """Names a ring at its last row of the file; returns that link, so that other rings are found without it."""
    sheet, rows = draft.sheets["supersessions"], draft.rows("supersessions")
    around = [links[pair] for pair in pairwise([*numbers, numbers[0]])]
    last = max(around, key=lambda key: draft.row_number("supersessions", key) or 0)
    at = around.index(last)
    turned = [*around[at:], *around[:at]]
    chain = " > ".join(sheet.get(rows[one], "old") for one in [*turned, turned[0]])
    draft.fault(
        findings.faults,
        "supersessions",
        last,
        "new",
        f"the supersessions run in a ring ({chain})",
        "take one of them out; new numbers may not lead back to old ones",
    )
    return last[1], last[2]
