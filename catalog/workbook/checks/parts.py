"""Parts whose figures come together, and rules that say what they need to say."""

from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings

BENCH = ("bench_min", "bench_likely", "bench_max")
WITH_ANOTHER = ("requires", "excludes")


def check_parts(draft: Draft, findings: Findings, /) -> None:
    """Bench minutes are given as three figures or not at all."""
    get = draft.sheets["parts"].get
    for key, row in draft.touched_rows("parts"):
        given = [name for name in BENCH if get(row, name)]
        for name in BENCH:
            if given and name not in given:
                draft.fault(
                    findings.faults,
                    "parts",
                    key,
                    name,
                    f"{given[0]} is given and {name} is empty",
                    "give the least, the likely and the most minutes, or none of them",
                )


def check_part_rules(draft: Draft, findings: Findings, /) -> None:
    """What is required or excluded is another part."""
    get = draft.sheets["part_rules"].get
    for key, row in draft.touched_rows("part_rules"):
        part, rule, other = (get(row, name) for name in ("part", "rule", "other"))
        if rule in WITH_ANOTHER and not other:
            draft.fault(
                findings.faults,
                "part_rules",
                key,
                "other",
                f"'{rule}' names no other part",
                "name the part that the rule is about",
            )
        elif rule in WITH_ANOTHER and other == part:
            draft.fault(findings.faults, "part_rules", key, "other", f"'{part}' {rule} itself", "name another part")
