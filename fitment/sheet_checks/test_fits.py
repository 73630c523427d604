"""A test fit was done on an axle that its variant has, on a joint that is there."""

from collections.abc import Iterable

from catalog.codes import End, YesNo
from catalog.conditions import Clause, parse_conditions
from catalog.sheets.sheet import Key, Row, Sheet
from catalog.windows import Window, parse_from, parse_to
from catalog.workbook.draft import Draft, SheetChanges


def check_test_fits(draft: Draft) -> None:
    """The axle is one of the variant's; a component left out is filled in where there is but one."""
    get, of = draft.sheets["test_fits"].get, draft.sheets["variants"].get
    changed = dict(draft.changed_rows("test_fits"))
    rows = dict(changed)
    for change in draft.changes.get("variants", SheetChanges()).changed:
        rows |= draft.rows("test_fits").where(variant=change.key[0])
    for key, row in rows.items():
        variant = draft.rows("variants").find((get(row, "variant"),))
        if variant is None:
            continue
        axles = [axle for end in End if (axle := of(variant, f"{end}_axle"))]
        if get(row, "axle") not in axles:
            has = f"it has {' and '.join(axles)}" if axles else "it has none recorded"
            wrong = f"the variant {get(row, 'variant')} does not have the axle '{get(row, 'axle')}'; {has}"
            draft.error("test_fits", key, "axle", wrong, "name the axle that the car has at that end")
        elif key in changed and not get(row, "component"):
            _fill_component(draft, key, row, variant)


def _fill_component(draft: Draft, key: Key, row: Row, variant: Row) -> None:
    sheet = draft.sheets["test_fits"]
    found = sorted(_components_there(draft, sheet.get(row, "axle"), sheet.get(row, "location"), variant))
    if len(found) == 1:
        at = sheet.index["component"]
        draft.complete_row("test_fits", key, (*row[:at], found[0], *row[at + 1 :]))
        return
    what = f"may have {' or '.join(found)} there" if found else "has no component recorded there"
    wrong = f"the variant {sheet.get(row, 'variant')} {what}"
    draft.error("test_fits", key, "component", wrong, "name the component that the car had")


def _components_there(draft: Draft, axle: str, location: str, variant: Row) -> set[str]:
    """The components that some complete car of a variant has at a place of its axle."""
    built = _window(draft.sheets["variants"], variant)
    sheet = draft.sheets["joints"]
    return {
        sheet.get(joint, "component")
        for joint in draft.rows("joints").where(axle=axle, location=location).values()
        if _window(sheet, joint).overlaps(built)
        and _can_hold(draft, sheet.get(joint, "conditions"), variant, axle, location)
    }


def _window(sheet: Sheet, row: Row) -> Window:
    first, last = sheet.get(row, "built_from"), sheet.get(row, "built_to")
    return Window(parse_from(first) if first else None, parse_to(last) if last else None)


def _can_hold(draft: Draft, text: str, variant: Row, axle: str, location: str) -> bool:
    """Whether conditions hold for some set of options that the variant may have."""
    clauses = parse_conditions(text).clauses
    values = {**draft.sheets["variants"].named(variant), "axle": axle, "location": location}
    stated = all(clause.holds(values[clause.attribute]) for clause in clauses if clause.option is None)
    return stated and _options_allow(draft, [clause for clause in clauses if clause.option is not None], variant)


def _options_allow(draft: Draft, clauses: Iterable[Clause], variant: Row) -> bool:
    get, of = draft.sheets["variants"].get, draft.sheets["options"].get
    can, always = get(variant, "options").split(), get(variant, "standard_options").split()
    rows = {option: row for option in (*can, *always) if (row := draft.rows("options").find((option,)))}
    wanted: dict[str, bool] = {}
    for clause in clauses:
        answers = [answer for answer in YesNo if clause.holds(answer)]
        if not answers:
            return False
        if len(answers) == 1:
            yes = answers == [YesNo.YES]
            if wanted.setdefault(str(clause.option), yes) != yes:
                return False
    groups: dict[str, list[str]] = {}
    for option, row in rows.items():
        groups.setdefault(of(row, "group") or f"/{option}", []).append(option)
    for options in groups.values():
        standard = [option for option in options if option in always]
        alone = of(rows[options[0]], "group") == ""
        # A group has none of its options, or one; a standard one leaves no choice, a required one no 'none'.
        must = not alone and of(rows[options[0]], "required") == YesNo.YES
        choices: list[str | None] = [*standard] if standard else [*options, *([] if must else [None])]
        if not any(
            all(wanted.get(option, option == choice) == (option == choice) for option in options) for choice in choices
        ):
            return False
    return not any(yes for option, yes in wanted.items() if option not in (*can, *always))
