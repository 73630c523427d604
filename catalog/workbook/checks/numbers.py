"""Part numbers of one kind, and chains of supersessions without rings."""

from collections import defaultdict

from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings
from catalog.workbook.sheets import Key


def check_numbers(draft: Draft, findings: Findings, /) -> None:
    """All rows of one number have one kind."""
    if not draft.is_touched("numbers"):
        return
    sheet, rows = draft.sheets["numbers"], draft.rows("numbers")
    kinds: dict[Key, Key] = {}
    touched = {key[:2] for key, _ in draft.touched_rows("numbers")}
    for key in sorted(rows, key=lambda key: (draft.row_number("numbers", key) or 0, key)):
        if key[:2] not in touched:
            continue
        first = kinds.setdefault(key[:2], key)
        here, there = sheet.get(rows[key], "kind"), sheet.get(rows[first], "kind")
        if here != there:
            draft.fault(
                findings.faults,
                "numbers",
                key,
                "kind",
                f"{sheet.get(rows[key], 'number')} is a number of kind {here} here and {there} in another row",
                f"all rows of one number have one kind: write {there} in all, or {here} in all",
            )


def check_supersessions(draft: Draft, findings: Findings, /) -> None:
    """No number takes, over others, its own place."""
    if not draft.is_touched("supersessions"):
        return
    sheet, rows = draft.sheets["supersessions"], draft.rows("supersessions")
    following: dict[tuple[str, str], list[Key]] = defaultdict(list)
    for key in sorted(rows):
        following[key[0], key[1]].append(key)
    for ring in _rings(following):
        key = max(ring, key=lambda key: draft.row_number("supersessions", key) or 0)
        at = ring.index(key)
        turned = [*ring[at:], *ring[:at]]
        chain = " > ".join([*(sheet.get(rows[one], "old") for one in turned), sheet.get(rows[turned[0]], "old")])
        draft.fault(
            findings.faults,
            "supersessions",
            key,
            "new",
            f"the supersessions run in a ring ({chain})",
            "take one of them out; new numbers may not lead back to old ones",
        )


def _rings(following: dict[tuple[str, str], list[Key]]) -> list[list[Key]]:
    """A ring out of every knot of numbers that lead back to themselves, as the keys of its rows."""
    done: set[tuple[str, str]] = set()
    rings = []
    for start in list(following):
        if start in done:
            continue
        path: list[Key] = []
        on_path: dict[tuple[str, str], int] = {start: 0}
        stack = [iter(following[start])]
        while stack:
            key = next(stack[-1], None)
            if key is None:
                stack.pop()
                if path:
                    key = path.pop()
                    node = (key[0], key[2])
                    done.add(node)
                    on_path.pop(node, None)
                continue
            node = (key[0], key[2])
            if node in on_path:
                rings.append([*path[on_path[node] :], key])
            elif node not in done:
                on_path[node] = len(path) + 1
                path.append(key)
                stack.append(iter(following.get(node, [])))
        done.add(start)
    return rings
