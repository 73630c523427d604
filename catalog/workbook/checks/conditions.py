"""Conditions name only what the catalogue carries: a typing error in a rejection would make a wrong 'fits'."""

from catalog.conditions import parse_conditions
from catalog.sheets.kinds import ConditionsKind
from catalog.sheets.sheet import Key, Sheet
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings

# Attribute -> the sheet and the column whose values it takes.
CARRIERS = {
    "maker": ("makers", "maker"), "chassis": ("platforms", "chassis"), "variant": ("variants", "variant"),
    "designation": ("variants", "designation"), "body": ("variants", "body"), "engine": ("variants", "engine"),
    "drivetrain": ("variants", "drivetrain"), "steering": ("variants", "steering"), "market": ("variants", "market"),
    "axle": ("axles", "axle"), "location": ("locations", "location"), "option": ("options", "option"),
}  # fmt: skip


def check_conditions(draft: Draft, findings: Findings, /) -> None:
    """Every value of every clause is carried by some row."""
    judge = _Judge(draft, findings)
    for sheet in draft.sheets:
        for column in sheet.columns:
            if isinstance(column.kind, ConditionsKind):
                judge.column(sheet, column.name)


class _Judge:
    """Looks at the conditions of new and changed rows, and of all rows where a value is carried no more."""

    def __init__(self, draft: Draft, findings: Findings) -> None:
        self.draft, self.findings = draft, findings
        self.lost = {attribute for attribute in CARRIERS if _may_lose(draft, attribute)}
        self._known: dict[tuple[str, str], bool] = {}

    def column(self, sheet: Sheet, column: str) -> None:
        at = sheet.index[column]
        touched = dict(self.draft.touched_rows(sheet.name))
        for key, row in (self.draft.rows(sheet.name) if self.lost else touched).items():
            for attribute, text in _named(row[at]) if row[at] else ():
                if (key in touched or attribute in self.lost) and not self.is_carried(attribute, text):
                    self.name(sheet, key, column, attribute, text)

    def is_carried(self, attribute: str, text: str) -> bool:
        known = self._known.get((attribute, text))
        if known is None:
            sheet, column = CARRIERS[attribute]
            known = self._known[attribute, text] = self.draft.rows(sheet).any(**{column: text})
        return known

    def name(self, sheet: Sheet, key: Key, column: str, attribute: str, text: str) -> None:
        carrier, _ = CARRIERS[attribute]
        if carrier in self.findings.unread:
            return
        near = self.findings.faults.near(text, _values(self.draft, attribute))
        wrong = f"no row of {carrier} has the {attribute} '{text}'{near}"
        right = "write a value that the catalogue carries"
        self.draft.fault(self.findings.faults, sheet.name, key, column, wrong, right)


def _named(text: str) -> list[tuple[str, str]]:
    """The values that conditions name: attribute (`option` for any option) and value or code."""
    named = []
    for clause in parse_conditions(text).clauses:
        if clause.option is not None:
            named.append(("option", clause.option))
        else:
            named += [(clause.attribute, value) for value in sorted(clause.values)]
    return named


def _values(draft: Draft, attribute: str) -> set[str]:
    sheet, column = CARRIERS[attribute]
    at = draft.sheets[sheet].index[column]
    return {row[at] for row in draft.rows(sheet).values()}


def _may_lose(draft: Draft, attribute: str) -> bool:
    """Whether a value that is carried now would be carried no more."""
    sheet, column = CARRIERS[attribute]
    changes = draft.changes.get(sheet)
    if not changes:
        return False
    at = draft.sheets[sheet].index[column]
    leaving = {
        change.before[at]
        for change in (*changes.changed, *changes.removed)
        if change.before and (change.after is None or change.after[at] != change.before[at])
    }
    return any(not draft.rows(sheet).any(**{column: text}) for text in leaving)
