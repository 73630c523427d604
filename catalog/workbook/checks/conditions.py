"""Conditions name only what the catalogue carries: a typing error in a rejection would make a wrong 'fits'."""

from collections.abc import Callable

from catalog.conditions import parse_conditions
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings
from catalog.workbook.kinds import ConditionsKind
from catalog.workbook.sheets import Row

# Attribute -> the sheet and the column whose values it takes.
CARRIERS = {
    "maker": ("makers", "maker"), "chassis": ("platforms", "chassis"), "variant": ("variants", "variant"),
    "designation": ("variants", "designation"), "body": ("variants", "body"), "engine": ("variants", "engine"),
    "drivetrain": ("variants", "drivetrain"), "steering": ("variants", "steering"), "market": ("variants", "market"),
    "axle": ("axles", "axle"), "location": ("locations", "location"), "option": ("options", "option"),
}  # fmt: skip


def check_conditions(draft: Draft, findings: Findings, /) -> None:
    """Every value of every clause is carried by some row."""
    carried: dict[str, set[str]] = {}

    def values(attribute: str) -> set[str]:
        if attribute not in carried:
            carried[attribute] = _values(draft, attribute, draft.rows)
        return carried[attribute]

    lost = {attribute for attribute in CARRIERS if _may_lose(draft, attribute)}
    for sheet in draft.sheets:
        for column in sheet.columns:
            if not isinstance(column.kind, ConditionsKind):
                continue
            at = sheet.index[column.name]
            touched = dict(draft.touched_rows(sheet.name))
            rows = draft.rows(sheet.name) if lost else touched
            for key, row in rows.items():
                if not row[at]:
                    continue
                for attribute, text in _named(row[at]):
                    if CARRIERS[attribute][0] in findings.unread:
                        continue
                    if (key in touched or attribute in lost) and text not in values(attribute):
                        sheet_name, _ = CARRIERS[attribute]
                        draft.fault(findings.faults, sheet.name, key, column.name,
                                    f"no row of {sheet_name} has the {attribute} '{text}'{findings.faults.near(text, values(attribute))}",
                                    "write a value that the catalogue carries")  # fmt: skip


def _named(text: str) -> list[tuple[str, str]]:
    """The values that conditions name: attribute (`option` for any option) and value or code."""
    named = []
    for clause in parse_conditions(text).clauses:
        if clause.option is not None:
            named.append(("option", clause.option))
        else:
            named += [(clause.attribute, value) for value in sorted(clause.values)]
    return named


def _values(draft: Draft, attribute: str, rows: Callable[[str], dict[tuple[str, ...], Row]]) -> set[str]:
    sheet, column = CARRIERS[attribute]
    at = draft.sheets[sheet].index[column]
    return {row[at] for row in rows(sheet).values()}


def _may_lose(draft: Draft, attribute: str) -> bool:
    """Whether a value that is carried now would be carried no more."""
    sheet, column = CARRIERS[attribute]
    changes = draft.changes.get(sheet)
    if not changes:
        return False
    at = draft.sheets[sheet].index[column]
    leaving = {change.before[at] for change in (*changes.changed, *changes.removed) if change.before}
    return bool(leaving) and not leaving <= _values(draft, attribute, draft.rows)
