"""Conditions name only what the catalogue carries: a typing error in a rejection would make a wrong 'fits'."""

from catalog.conditions import parse_conditions
from catalog.sheets.kinds import ConditionsKind
from catalog.sheets.sheet import Sheet
from catalog.workbook.draft import Draft, SheetChanges

VARIANT_ATTRIBUTES = ("variant", "designation", "body", "engine", "drivetrain", "steering", "market")
CARRIERS = {
    "maker": "makers",
    "chassis": "platforms",
    "axle": "axles",
    "location": "locations",
    "option": "options",
    **dict.fromkeys(VARIANT_ATTRIBUTES, "variants"),
}
"""Attribute -> the sheet whose column of that name holds its values."""


def check_conditions(draft: Draft) -> None:
    """Every value of every clause is carried by some row."""
    carried = _Carried(draft)
    for sheet in draft.sheets:
        for column in sheet.columns:
            if isinstance(column.kind, ConditionsKind):
                carried.check(sheet, column.name)


class _Carried:
    """Looks at the conditions of new and changed rows, and of all rows where a value is carried no more."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.lost = {attribute for attribute in CARRIERS if _may_lose(draft, attribute)}
        self._known: dict[tuple[str, str], bool] = {}

    def check(self, sheet: Sheet, column: str) -> None:
        at = sheet.index[column]
        changed = dict(self.draft.changed_rows(sheet.name))
        for key, row in (self.draft.rows(sheet.name) if self.lost else changed).items():
            for attribute, text in _named(row[at]) if row[at] else ():
                carrier = CARRIERS[attribute]
                if carrier in self.draft.findings.unread or not (key in changed or attribute in self.lost):
                    continue
                if not self.is_carried(attribute, text):
                    place = self.draft.sheets[carrier].index[attribute]
                    near = self.draft.near(text, {other[place] for other in self.draft.rows(carrier).values()})
                    wrong = f"no row of {carrier} has the {attribute} '{text}'{near}"
                    self.draft.error(sheet.name, key, column, wrong, "write a value that the catalogue carries")

    def is_carried(self, attribute: str, text: str) -> bool:
        known = self._known.get((attribute, text))
        if known is None:
            rows = self.draft.rows(CARRIERS[attribute])
            known = self._known[attribute, text] = rows.any(**{attribute: text})
        return known


def _named(text: str) -> list[tuple[str, str]]:
    """The values that conditions name: attribute (`option` for any option) and value or code."""
    named = []
    for clause in parse_conditions(text).clauses:
        if clause.option is not None:
            named.append(("option", clause.option))
        else:
            named += [(clause.attribute, value) for value in sorted(clause.values)]
    return named


def _may_lose(draft: Draft, attribute: str) -> bool:
    """Whether a value that is carried now would be carried no more."""
    carrier = CARRIERS[attribute]
    changes = draft.changes.get(carrier, SheetChanges())
    at = draft.sheets[carrier].index[attribute]
    leaving = {
        change.before[at]
        for change in (*changes.changed, *changes.removed)
        if change.before and (change.after is None or change.after[at] != change.before[at])
    }
    return any(not draft.rows(carrier).any(**{attribute: text}) for text in leaving)
