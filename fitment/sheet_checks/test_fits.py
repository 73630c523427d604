"""A test fit was done on an axle that its variant has, on a joint that is there."""

from collections.abc import Iterable

from catalog.conditions import Clause, parse_conditions
from catalog.sheets.sheet import Key, Row
from catalog.windows import Window, parse_from, parse_to
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings


def check_test_fits(draft: Draft, findings: Findings, /) -> None:
    """The axle is one of the variant's; a component left out is filled in where there is but one."""
    get, of = draft.sheets["test_fits"].get, draft.sheets["variants"].get
    touched = dict(draft.touched_rows("test_fits"))
    rows = dict(touched)
    variants = draft.changes.get("variants")
    for change in variants.changed if variants else ():
        rows |= draft.rows("test_fits").where(variant=change.key[0])
    for key, row in rows.items():
        variant = draft.rows("variants").find((get(row, "variant"),))
        if variant is None:
            continue
        axles = [axle for axle in (of(variant, "front_axle"), of(variant, "rear_axle")) if axle]
        if get(row, "axle") not in axles:
            has = f"it has {' and '.join(axles)}" if axles else "it has none recorded"
            draft.fault(
                findings.faults,
                "test_fits",
                key,
                "axle",
                f"the variant {get(row, 'variant')} does not have the axle '{get(row, 'axle')}'; {has}",
                "name the axle that the car has at that end",
            )
        elif key in touched and not get(row, "component"):
            _fill_component(draft, findings, key, row, variant)


def _fill_component(draft: Draft, findings: Findings, key: Key, row: Row, variant: Row) -> None:
    sheet = draft.sheets["test_fits"]
    found = sorted(components_there(draft, sheet.get(row, "axle"), sheet.get(row, "location"), variant))
    if len(found) == 1:
        at = sheet.index["component"]
        draft.complete_row("test_fits", key, (*row[:at], found[0], *row[at + 1 :]))
        return
    what = f"may have {' or '.join(found)} there" if found else "has no component recorded there"
    draft.fault(
        findings.faults,
        "test_fits",
        key,
        "component",
        f"the variant {sheet.get(row, 'variant')} {what}",
        "name the component that the car had",
    )


def components_there(draft: Draft, axle: str, location: str, variant: Row) -> set[str]:
    """The components that some complete car of a variant has at a place of its axle."""
    get = draft.sheets["joints"].get
    found = set()
    for joint in draft.rows("joints").where(axle=axle, location=location).values():
        if get(joint, "component") not in found:
            window = _window(get(joint, "built_from"), get(joint, "built_to"))
            if window.overlaps(_variant_window(draft, variant)) and _can_hold(
                draft, get(joint, "conditions"), variant, axle, location
            ):
                found.add(get(joint, "component"))
    return found


def _window(first: str, last: str) -> Window:
    return Window(parse_from(first) if first else None, parse_to(last) if last else None)


def _variant_window(draft: Draft, variant: Row) -> Window:
    get = draft.sheets["variants"].get
    return _window(get(variant, "built_from"), get(variant, "built_to"))


def _can_hold(draft: Draft, text: str, variant: Row, axle: str, location: str) -> bool:
    """Whether conditions hold for some set of options that the variant may have."""
    if not text:
        return True
    sheet = draft.sheets["variants"]
    values = {**sheet.named(variant), "axle": axle, "location": location}
    clauses = parse_conditions(text).clauses
    return all(
        clause.holds(values[clause.attribute]) for clause in clauses if clause.option is None
    ) and _options_allow(draft, [clause for clause in clauses if clause.option is not None], variant)


def _options_allow(draft: Draft, clauses: Iterable[Clause], variant: Row) -> bool:
    get, of = draft.sheets["variants"].get, draft.sheets["options"].get
    can, always = get(variant, "options").split(), get(variant, "standard_options").split()
    rows = {
        key[0]: row for key in ((option,) for option in (*can, *always)) if (row := draft.rows("options").find(key))
    }
    wanted: dict[str, bool] = {}
    for clause in clauses:
        answers = {answer for answer in ("yes", "no") if clause.holds(answer)}
        if len(answers) == 1 and wanted.setdefault(str(clause.option), answers == {"yes"}) != (answers == {"yes"}):
            return False
        if not answers:
            return False
    groups: dict[str, list[str]] = {}
    for option in (*can, *always):
        if option in rows:
            groups.setdefault(of(rows[option], "group") or f"/{option}", []).append(option)
    for options in groups.values():
        standard = [option for option in options if option in always]
        alone = of(rows[options[0]], "group") == ""
        # A group has none of its options, or one; a standard one leaves no choice, a required one no 'none'.
        must = not alone and of(rows[options[0]], "required") == "yes"
        choices: list[str | None] = [*standard] if standard else [*options, *([] if must else [None])]
        if not any(
            all(wanted.get(option, option == choice) == (option == choice) for option in options) for choice in choices
        ):
            return False
    offered = {*can, *always}
    return not any(yes for option, yes in wanted.items() if option not in offered)
