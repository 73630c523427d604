"""Operations that can be ordered, that a way leads to, steps of the whole car that are the same everywhere, and torques
that their threads can bear."""

from collections import defaultdict
from collections.abc import Callable

from catalog.bolts import TorqueCheck, check_torque
from catalog.codes import IfAbsent, YesNo
from catalog.sheets.kinds import groups_of, quoted
from catalog.sheets.sheet import Key, Row
from catalog.workbook.draft import Draft, SheetChanges

CAR = "car"


def check_operations(draft: Draft) -> None:
    """Of every axle whose operations or ways change."""
    get = draft.sheets["operations"].get
    for key, row in draft.changed_rows("operations"):
        if get(row, "conditions") and not get(row, "if_absent"):
            right = "write open (nothing in the way) or blocked (no way here)"
            draft.error("operations", key, "if_absent", "the operation has conditions and no if_absent", right)
    for axle in sorted({key[0] for key in _changed_keys(draft, "operations", "ways")}):
        operations = {key[1]: row for key, row in draft.rows("operations").where(axle=axle).items()}
        ways = draft.rows("ways").where(axle=axle).values()
        _check_order(draft, axle, operations)
        _check_reach(draft, axle, operations, [draft.sheets["ways"].get(row, "operations") for row in ways])


def _changed_keys(draft: Draft, *names: str) -> set[Key]:
    return {change.key for name in names for change in draft.changes.get(name, SheetChanges())}


def _check_order(draft: Draft, axle: str, operations: dict[str, Row]) -> None:
    get = draft.sheets["operations"].get
    needs = {code: groups_of(get(row, "needs")) for code, row in operations.items()}
    # One that is not there on some cars, and then leaves nothing in the way, holds nothing up on those; one that is
    # not known is named as such.
    ready = {one for groups in needs.values() for group in groups for one in group if one not in operations}
    for code, row in operations.items():
        if get(row, "conditions") and get(row, "if_absent") == IfAbsent.OPEN:
            ready.add(code)
    ordered: set[str] = set()
    before = -1
    while before < len(ordered):
        before = len(ordered)
        for code, groups in needs.items():
            if all(any(one in ordered or one in ready for one in group) for group in groups):
                ordered.add(code)
    for code in operations:
        if code not in ordered:
            stuck = next(group for group in needs[code] if not any(one in ordered or one in ready for one in group))
            wrong = f"the operation can never be ordered: '{' | '.join(stuck)}' rests, over others, on it or on a ring"
            draft.error("operations", (axle, code), "needs", wrong, "name an alternative that can be done before it")


def _check_reach(draft: Draft, axle: str, operations: dict[str, Row], ways: list[str]) -> None:
    get = draft.sheets["operations"].get
    waiting = [code for way in ways for code in _codes_of(way)]
    reached: set[str] = set()
    while waiting:
        code = waiting.pop()
        if code not in reached and code in operations:
            reached.add(code)
            waiting += [*_codes_of(get(operations[code], "needs")), *get(operations[code], "entails").split()]
    for code in operations:
        if code not in reached:
            wrong = f"no way of the axle {axle} leads to the operation '{code}'"
            right = "name it in a way, or in the needs or entails of an operation that a way leads to"
            draft.error("operations", (axle, code), "operation", wrong, right)


def _codes_of(groups: str) -> list[str]:
    return [code for group in groups_of(groups) for code in group]


def check_car_steps(draft: Draft) -> None:
    """Rows of one code of zone `car` are equal throughout, with their fasteners; not per side; among themselves."""
    get = draft.sheets["operations"].get
    changed = {key[:2] for key in _changed_keys(draft, "operations", "fasteners")}
    for code in sorted({code for _, code in changed}):
        rows = draft.rows("operations").where(operation=code)
        steps = draft.in_file_order("operations", (key for key, row in rows.items() if get(row, "zone") == CAR))
        if steps:
            _check_step(draft, code, rows, steps)
    for axle, code in sorted(changed):
        _check_naming(draft, axle, code)


def _check_step(draft: Draft, code: str, rows: dict[Key, Row], steps: list[Key]) -> None:
    """The rows of a code that is a step of the car somewhere."""
    fasteners: dict[Key, dict[str, Row]] = defaultdict(dict)
    for key, row in draft.rows("fasteners").where(operation=code).items():
        fasteners[key[:2]][key[2]] = row[2:]
    for key in sorted(rows):
        if key not in steps:
            wrong = f"'{code}' is a step of the car at {steps[0][0]} and not here"
            draft.error("operations", key, "zone", wrong, f"write {CAR}, or give it another code")
    for key in steps:
        _check_car_step(draft, key)
        _check_equal(draft, key, steps[0])
        _check_equal_fasteners(draft, key, steps[0], fasteners)


def _check_naming(draft: Draft, axle: str, code: str) -> None:
    """The steps of the car that name an operation which changes: it may be one no more."""
    get = draft.sheets["operations"].get
    row = draft.rows("operations").find((axle, code))
    if row is None or get(row, "zone") == CAR:
        return
    for key, other in draft.rows("operations").where(axle=axle).items():
        if get(other, "zone") == CAR and code in (*_codes_of(get(other, "needs")), *get(other, "entails").split()):
            _check_car_step(draft, key)


def _check_car_step(draft: Draft, key: Key) -> None:
    get, rows = draft.sheets["operations"].get, draft.rows("operations")
    if get(rows[key], "per_side") == YesNo.YES:
        draft.error("operations", key, "per_side", "a step of the car is done once, not per side", "write no")
    for column in ("needs", "entails"):
        text = get(rows[key], column)
        for code in _codes_of(text) if column == "needs" else text.split():
            other = rows.get((key[0], code))
            if other is not None and get(other, "zone") != CAR:
                right = "a step of zone car needs and entails only steps of zone car"
                draft.error("operations", key, column, f"the step of the car names '{code}', which is none", right)


def _check_equal(draft: Draft, key: Key, first: Key) -> None:
    sheet, rows = draft.sheets["operations"], draft.rows("operations")
    for name in sheet.index:
        here, there = sheet.get(rows[key], name), sheet.get(rows[first], name)
        if name != "axle" and here != there:
            wrong = f"the step of the car '{key[1]}' has {quoted(here)} here and {quoted(there)} at {first[0]}"
            draft.error("operations", key, name, wrong, "rows of one step of the car are equal at every axle")


def _check_equal_fasteners(draft: Draft, key: Key, first: Key, fasteners: dict[Key, dict[str, Row]]) -> None:
    here, there = fasteners.get(key, {}), fasteners.get(first, {})
    right = "fasteners of one step of the car are equal at every axle"
    for code in sorted(here.keys() | there.keys()):
        one, other = here.get(code), there.get(code)
        if one is None:
            wrong = f"the fastener '{code}' of the step of the car is at {first[0]} and not here"
            draft.error("operations", key, "operation", wrong, right)
        elif one != other:
            wrong = f"the fastener of the step of the car {'is not' if other is None else 'is another'} at {first[0]}"
            draft.error("fasteners", (*key, code), "fastener", wrong, right)


def check_torques(draft: Draft) -> None:
    """T = K d F against ISO 898-1 (catalog.bolts): of new and changed fasteners, and of what revisions change there."""
    get, of = draft.sheets["fasteners"].get, draft.sheets["fastener_changes"].get
    rows = dict(draft.changed_rows("fastener_changes"))
    for key, row in draft.changed_rows("fasteners"):
        _judge_torque(draft, "fasteners", key, _check_torque(get(row, "torque_nm"), row, get(row, "angle_deg"), get))
        axle, operation, fastener = key
        rows |= draft.rows("fastener_changes").where(axle=axle, operation=operation, fastener=fastener)
    for key, row in rows.items():
        found = draft.rows("fasteners").find(key[2:])
        if found is not None and of(row, "torque_nm"):
            angle = of(row, "angle_deg") or get(found, "angle_deg")
            _judge_torque(draft, "fastener_changes", key, _check_torque(of(row, "torque_nm"), found, angle, get))


def _check_torque(torque: str, fastener: Row, angle: str, get: Callable[[Row, str], str]) -> TorqueCheck:
    return check_torque(
        thread=get(fastener, "thread"),
        grade=get(fastener, "grade"),
        head=get(fastener, "head"),
        torque_nm=float(torque) if torque else None,
        angle_deg=float(angle) if angle else None,
    )


def _judge_torque(draft: Draft, name: str, key: Key, check: TorqueCheck) -> None:
    preload, limit = (f"{(newtons or 0) / 1000:.1f} kN" for newtons in (check.preload_n, check.limit_n))
    if check.state == "refused":
        wrong = f"even dry it would pull {preload}, above the ultimate {limit}"
        draft.error(name, key, "torque_nm", wrong, "look for a typing error in torque, thread or grade")
    elif check.state == "warning":
        wrong = f"the preload of {preload} (K = 0.2) is above the proof load of {limit}"
        draft.warn(name, key, "torque_nm", wrong, "look at torque, thread and grade again")
    elif check.state == "unchecked":
        wrong = f"the torque is unchecked, {check.missing} missing or not known"
        draft.warn(name, key, "torque_nm", wrong, f"fill {check.missing} to have it checked")
