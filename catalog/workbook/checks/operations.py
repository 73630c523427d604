"""Operations that can be ordered, that a way leads to, and steps of the whole car that are the same everywhere."""

from collections import defaultdict

from catalog.sheets.kinds import groups_of, said
from catalog.sheets.sheet import Key, Row
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings

CAR = "car"


def check_operations(draft: Draft, findings: Findings, /) -> None:
    """Of every axle whose operations or ways change."""
    get = draft.sheets["operations"].get
    for key, row in draft.touched_rows("operations"):
        if get(row, "conditions") and not get(row, "if_absent"):
            draft.fault(
                findings.faults,
                "operations",
                key,
                "if_absent",
                "the operation has conditions and no if_absent",
                "write open (nothing in the way) or blocked (no way here)",
            )
    touched = {
        change.key[0] for name in ("operations", "ways") if name in draft.changes for change in draft.changes[name]
    }
    for axle in sorted(touched):
        operations = {key[1]: row for key, row in draft.rows("operations").where(axle=axle).items()}
        ways = draft.rows("ways").where(axle=axle).values()
        _check_order(draft, findings, axle, operations)
        _check_reach(draft, findings, axle, operations, [draft.sheets["ways"].get(row, "operations") for row in ways])


def _check_order(draft: Draft, findings: Findings, axle: str, operations: dict[str, Row]) -> None:
    get = draft.sheets["operations"].get
    needs = {code: groups_of(get(row, "needs")) for code, row in operations.items()}
    # One that is not there on some cars, and then leaves nothing in the way, holds nothing up on those; one that is
    # not known is named as such.
    ready = {code for code, row in operations.items() if get(row, "conditions") and get(row, "if_absent") == "open"}
    ready |= {one for groups in needs.values() for group in groups for one in group if one not in operations}
    ordered: set[str] = set()
    found = True
    while found:
        found = False
        for code, groups in needs.items():
            if code not in ordered and all(any(one in ordered or one in ready for one in group) for group in groups):
                ordered.add(code)
                found = True
    for code in operations:
        if code not in ordered:
            stuck = next(
                " | ".join(group) for group in needs[code] if not any(one in ordered or one in ready for one in group)
            )
            draft.fault(
                findings.faults,
                "operations",
                (axle, code),
                "needs",
                f"the operation can never be ordered: '{stuck}' rests, over others, on it or on a ring",
                "name an alternative that can be done before it",
            )


def _check_reach(draft: Draft, findings: Findings, axle: str, operations: dict[str, Row], ways: list[str]) -> None:
    get = draft.sheets["operations"].get
    waiting = [code for way in ways for group in groups_of(way) for code in group]
    reached: set[str] = set()
    while waiting:
        code = waiting.pop()
        if code in reached or code not in operations:
            continue
        reached.add(code)
        row = operations[code]
        waiting += [one for group in groups_of(get(row, "needs")) for one in group] + get(row, "entails").split()
    for code in operations:
        if code not in reached:
            draft.fault(
                findings.faults,
                "operations",
                (axle, code),
                "operation",
                f"no way of the axle {axle} leads to the operation '{code}'",
                "name it in a way, or in the needs or entails of an operation that a way leads to",
            )


def check_car_steps(draft: Draft, findings: Findings, /) -> None:
    """Rows of one code of zone `car` are equal throughout, with their fasteners; not per side; among themselves."""
    get = draft.sheets["operations"].get
    changed = {
        change.key[:2]
        for name in ("operations", "fasteners")
        if name in draft.changes
        for change in draft.changes[name]
    }
    for code in sorted({code for _, code in changed}):
        rows = draft.rows("operations").where(operation=code)
        steps = sorted(
            (key for key, row in rows.items() if get(row, "zone") == CAR),
            key=lambda key: (draft.row_number("operations", key) or 0, key),
        )
        if steps:
            _check_step(draft, findings, code, rows, steps)
    for axle, code in sorted(changed):
        _check_named(draft, findings, axle, code)


def _check_step(draft: Draft, findings: Findings, code: str, rows: dict[Key, Row], steps: list[Key]) -> None:
    """The rows of a code that is a step of the car somewhere."""
    fasteners: dict[Key, dict[str, Row]] = defaultdict(dict)
    for key, row in draft.rows("fasteners").where(operation=code).items():
        fasteners[key[:2]][key[2]] = row[2:]
    for key in sorted(rows):
        if key not in steps:
            wrong = f"'{code}' is a step of the car at {steps[0][0]} and not here"
            draft.fault(findings.faults, "operations", key, "zone", wrong, f"write {CAR}, or give it another code")
    for key in steps:
        _check_car_step(draft, findings, key)
        _check_equal(draft, findings, key, steps[0])
        _check_equal_fasteners(draft, findings, key, steps[0], fasteners)


def _check_named(draft: Draft, findings: Findings, axle: str, code: str) -> None:
    """The steps of the car that name an operation which changes: it may be one no more."""
    get = draft.sheets["operations"].get
    row = draft.rows("operations").find((axle, code))
    if row is None or get(row, "zone") == CAR:
        return
    for key, other in draft.rows("operations").where(axle=axle).items():
        if get(other, "zone") == CAR and code in _named(get(other, "needs"), get(other, "entails")):
            _check_car_step(draft, findings, key)


def _named(needs: str, entails: str) -> set[str]:
    return {one for group in groups_of(needs) for one in group} | set(entails.split())


def _check_car_step(draft: Draft, findings: Findings, key: Key) -> None:
    get, rows = draft.sheets["operations"].get, draft.rows("operations")
    row = rows[key]
    if get(row, "per_side") == "yes":
        draft.fault(
            findings.faults, "operations", key, "per_side", "a step of the car is done once, not per side", "write no"
        )
    for column in ("needs", "entails"):
        text = get(row, column)
        named = [one for group in groups_of(text) for one in group] if column == "needs" else text.split()
        for code in named:
            other = rows.get((key[0], code))
            if other is not None and get(other, "zone") != CAR:
                draft.fault(
                    findings.faults,
                    "operations",
                    key,
                    column,
                    f"the step of the car names '{code}', which is none",
                    "a step of zone car needs and entails only steps of zone car",
                )


def _check_equal(draft: Draft, findings: Findings, key: Key, first: Key) -> None:
    sheet, rows = draft.sheets["operations"], draft.rows("operations")
    for column in sheet.columns:
        here, there = sheet.get(rows[key], column.name), sheet.get(rows[first], column.name)
        if column.name != "axle" and here != there:
            draft.fault(
                findings.faults,
                "operations",
                key,
                column.name,
                f"the step of the car '{key[1]}' has {said(here)} here and {said(there)} at {first[0]}",
                "rows of one step of the car are equal at every axle",
            )


def _check_equal_fasteners(
    draft: Draft, findings: Findings, key: Key, first: Key, fasteners: dict[Key, dict[str, Row]]
) -> None:
    here, there = fasteners.get(key, {}), fasteners.get(first, {})
    for code in sorted(here.keys() | there.keys()):
        one, other = here.get(code), there.get(code)
        if one is None:
            draft.fault(
                findings.faults,
                "operations",
                key,
                "operation",
                f"the fastener '{code}' of the step of the car is at {first[0]} and not here",
                "fasteners of one step of the car are equal at every axle",
            )
        elif other is None or one != other:
            draft.fault(
                findings.faults,
                "fasteners",
                (*key, code),
                "fastener",
                f"the fastener of the step of the car {'is not' if other is None else 'is another'} at {first[0]}",
                "fasteners of one step of the car are equal at every axle",
            )
