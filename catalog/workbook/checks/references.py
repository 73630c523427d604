"""Every code that names a row of another sheet names one that is there."""

from collections.abc import Iterable

from catalog.sheets.kinds import groups_of
from catalog.sheets.sheet import Key, Many, PlaceColumn, Reference, Row, Sheet
from catalog.workbook.draft import Draft, SheetChanges


def check_references(draft: Draft) -> None:
    """References, lists and groups of codes, locations of axles: of rows that change, and of those that could have
    lost what they name."""
    unread = draft.findings.unread
    for sheet in draft.sheets:
        for reference in sheet.references:
            if reference.sheet not in unread:
                for key, row in _naming(draft, sheet, reference):
                    _check_reference(draft, sheet, reference, key, row)
        for many in sheet.many:
            if many.sheet not in unread:
                every = draft.has_removed(many.sheet)
                for key, row in draft.rows(sheet.name).items() if every else draft.changed_rows(sheet.name):
                    _check_many(draft, sheet, many, key, row)
        if sheet.places and not unread & {"axles", "locations"}:
            for key, row in _placed(draft, sheet):
                for place in sheet.places:
                    _check_place(draft, sheet, place, key, row)


def _naming(draft: Draft, sheet: Sheet, reference: Reference) -> Iterable[tuple[Key, Row]]:
    """New and changed rows, and those that name a row that goes."""
    found = dict(draft.changed_rows(sheet.name))
    for change in draft.changes.get(reference.sheet, SheetChanges()).removed:
        found |= draft.rows(sheet.name).where(**dict(zip(reference.columns, change.key, strict=True)))
    return found.items()


def _placed(draft: Draft, sheet: Sheet) -> Iterable[tuple[Key, Row]]:
    """New and changed rows, and those at an axle that changes; all when a location goes."""
    if draft.has_removed("locations"):
        return draft.rows(sheet.name).items()
    found = dict(draft.changed_rows(sheet.name))
    for key, _ in draft.changed_rows("axles"):
        found |= draft.rows(sheet.name).where(axle=key[0])
    return found.items()


def _check_reference(draft: Draft, sheet: Sheet, reference: Reference, key: Key, row: Row) -> None:
    named = tuple(row[sheet.index[name]] for name in reference.columns)
    if not named[-1] or named in draft.rows(reference.sheet):
        return
    at = _first_missing(draft, draft.sheets[reference.sheet], named)
    column = reference.columns[at]
    target, known = _known_at(draft, reference.sheet, named, at)
    if not named[at]:
        draft.error(sheet.name, key, column, f"'{named[-1]}' stands without a {column}", f"fill {column} too")
        return
    of = f" of {' / '.join(named[:at])}" if target is None else ""
    _name_missing(draft, sheet, key, column, named[at], of, target or reference.sheet, known)


def _name_missing(
    draft: Draft, sheet: Sheet, key: Key, column: str, code: str, of: str, target: str, known: Iterable[str]
) -> None:
    wrong = f"there is no '{code}'{of} in {target}{draft.near(code, known)}"
    draft.error(sheet.name, key, column, wrong, f"name one that stands in {target}, or add it there")


def _first_missing(draft: Draft, target: Sheet, named: Key) -> int:
    """Which part of a key of a sheet is the one that is not there."""
    columns = target.key_names
    for reference in target.references:
        if set(reference.columns) < set(columns):
            part = tuple(named[columns.index(name)] for name in reference.columns)
            if part not in draft.rows(reference.sheet):
                inner = _first_missing(draft, draft.sheets[reference.sheet], part)
                return columns.index(reference.columns[inner])
    return len(named) - 1


def _known_at(draft: Draft, name: str, named: Key, at: int) -> tuple[str | None, list[str]]:
    """The sheet that a part of a key names on its own (None: it is the last part of several), and what it knows."""
    sheet = draft.sheets[name]
    if at == len(named) - 1:
        known = [key[-1] for key in draft.rows(name) if key[:-1] == named[:-1]]
        return (name if len(named) == 1 else None), known
    column = sheet.key_names[at]
    for reference in sheet.references:
        if reference.columns[-1] == column:
            return _known_at(draft, reference.sheet, named[: len(reference.columns)], len(reference.columns) - 1)
    return None, []


def _check_many(draft: Draft, sheet: Sheet, many: Many, key: Key, row: Row) -> None:
    text = row[sheet.index[many.column]]
    prefix = tuple(row[sheet.index[name]] for name in many.scope)
    items = [item for group in groups_of(text) for item in group] if many.grouped else text.split()
    rows = draft.rows(many.sheet)
    for item in dict.fromkeys(items):
        code = many.split(item)[0] if many.split else item
        if (*prefix, code) not in rows:
            known = [other[-1] for other in rows if other[:-1] == prefix]
            of = f" of {' / '.join(prefix)}" if prefix else ""
            _name_missing(draft, sheet, key, many.column, code, of, many.sheet, known)


def _check_place(draft: Draft, sheet: Sheet, place: PlaceColumn, key: Key, row: Row) -> None:
    axle, code = row[sheet.index[place.axle]], row[sheet.index[place.location]]
    found = draft.rows("axles").find((axle,))
    topology = draft.sheets["axles"].get(found, "topology") if found else None
    # An axle of no known topology is named as such, not at each of its places.
    if not code or topology is None or (topology,) not in draft.rows("topologies"):
        return
    if (topology, code) not in draft.rows("locations"):
        known = [other[1] for other in draft.rows("locations") if other[0] == topology]
        wrong = f"the axle {axle} ({topology}) has no location '{code}'{draft.near(code, known)}"
        draft.error(sheet.name, key, place.location, wrong, f"name a location of {topology}, or add it to locations")
