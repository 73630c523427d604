"""Parts, their rules and their numbers; figures and days that must stand in order."""

from collections import defaultdict
from decimal import Decimal
from itertools import pairwise
from typing import Any

from catalog.chains import Step, ring
from catalog.codes import Rule
from catalog.sheets.kinds import DateKind
from catalog.sheets.sheet import Key, Row, Sheet
from catalog.stamps import batch_order
from catalog.workbook.draft import Draft

BENCH = ("bench_min", "bench_likely", "bench_max")


def check_orders(draft: Draft) -> None:
    """Every figure or day that has a fellow behind it is at most that one."""
    for sheet in draft.sheets:
        for columns in sheet.ordered:
            for key, row in draft.changed_rows(sheet.name):
                filled = [name for name in columns if sheet.get(row, name)]
                for low, high in pairwise(filled):
                    if _value(sheet, row, low) > _value(sheet, row, high):
                        above = "later than" if isinstance(sheet.column(low).kind, DateKind) else "above"
                        wrong = f"{sheet.get(row, low)} is {above} {high} {sheet.get(row, high)}"
                        draft.error(sheet.name, key, low, wrong, f"{low} must be at most {high}")
    for key, row in draft.changed_rows("holds"):
        first, last = (draft.sheets["holds"].get(row, name) for name in ("batch_from", "batch_to"))
        if first and last and batch_order(first) > batch_order(last):
            right = "write the first batch in batch_from; batches order by length, then text"
            draft.error("holds", key, "batch_from", f"'{first}' comes after batch_to '{last}'", right)


def _value(sheet: Sheet, row: Row, name: str) -> Any:
    kind, text = sheet.column(name).kind, sheet.get(row, name)
    return kind.parse(text) if isinstance(kind, DateKind) else Decimal(text)


def check_parts(draft: Draft) -> None:
    """Bench minutes are given as three figures or not at all."""
    get = draft.sheets["parts"].get
    for key, row in draft.changed_rows("parts"):
        given = [name for name in BENCH if get(row, name)]
        for name in BENCH:
            if given and name not in given:
                right = "give the least, the likely and the most minutes, or none of them"
                draft.error("parts", key, name, f"{given[0]} is given and {name} is empty", right)


def check_part_rules(draft: Draft) -> None:
    """What is required or excluded is another part."""
    get = draft.sheets["part_rules"].get
    for key, row in draft.changed_rows("part_rules"):
        part, rule, other = (get(row, name) for name in ("part", "rule", "other"))
        if rule not in (Rule.REQUIRES, Rule.EXCLUDES):
            continue
        if not other:
            right = "name the part that the rule is about"
            draft.error("part_rules", key, "other", f"'{rule}' names no other part", right)
        elif other == part:
            draft.error("part_rules", key, "other", f"'{part}' {rule} itself", "name another part")


def check_numbers(draft: Draft) -> None:
    """All rows of one number have one kind."""
    sheet = draft.sheets["numbers"]
    for issuer, number in dict.fromkeys(key[:2] for key, _ in draft.changed_rows("numbers")):
        rows = draft.rows("numbers").where(issuer=issuer, number=number)
        first, *others = draft.in_file_order("numbers", rows)
        there = sheet.get(rows[first], "kind")
        for key in others:
            here = sheet.get(rows[key], "kind")
            if here and there and here != there:
                printed = sheet.get(rows[key], "number")
                wrong = f"{printed} is a number of kind {here} here and {there} in another row"
                right = f"all rows of one number have one kind: write {there} in all, or {here} in all"
                draft.error("numbers", key, "kind", wrong, right)


def check_supersessions(draft: Draft) -> None:
    """No number takes, over others, its own place; of several rings each is named."""
    issuers = {key[0] for key, _ in draft.changed_rows("supersessions")}
    steps: dict[str, dict[tuple[str, str], Key]] = defaultdict(dict)
    for key in draft.rows("supersessions") if issuers else ():
        if key[0] in issuers:
            steps[key[0]][key[1], key[2]] = key
    for links in steps.values():
        while (numbers := ring(Step(old, new, "") for old, new in links)) is not None:
            del links[_name_ring(draft, numbers, links)]


def _name_ring(draft: Draft, numbers: list[str], links: dict[tuple[str, str], Key]) -> tuple[str, str]:
    """Names a ring at its last row of the file; returns that link, so that other rings are found without it."""
    sheet, rows = draft.sheets["supersessions"], draft.rows("supersessions")
    around = [links[pair] for pair in pairwise([*numbers, numbers[0]])]
    last = max(around, key=lambda key: draft.row_number("supersessions", key))
    at = around.index(last)
    turned = [*around[at:], *around[:at]]
    chain = " > ".join(sheet.get(rows[one], "old") for one in [*turned, turned[0]])
    right = "take one of them out; new numbers may not lead back to old ones"
    draft.error("supersessions", last, "new", f"the supersessions run in a ring ({chain})", right)
    return last[1], last[2]
