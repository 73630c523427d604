"""Where the rows of a sheet stand: reading tables as canonical rows, and what a row is in tables."""

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.apps import apps
from django.db.models import Model

from catalog.windows import parse_from, parse_to, write_from, write_to
from catalog.workbook.kinds import DateKind, YesNoKind
from catalog.workbook.sheets import Column, Key, Many, Row, Sheet, Sheets

_CHUNK = 5_000


def model_of(label: str) -> type[Model]:
    return apps.get_model(label)


@dataclass(frozen=True)
class Table:
    """A sheet and its table."""

    sheet: Sheet
    sheets: Sheets

    @cached_property
    def model(self) -> type[Model]:
        return model_of(self.sheet.model)

    def path(self, column: str) -> str:
        """The path by which Django reads a column of the sheet.

        A key column of another sheet is read through the foreign key, by that sheet's own path.
        """
        for reference in self.sheet.references:
            if column in reference.read_through:
                target = self.sheets[reference.sheet]
                key_column = target.columns[target.key_at[reference.columns.index(column)]]
                return f"{reference.field}__{Table(target, self.sheets).path(key_column.name)}"
        for place in self.sheet.places:
            if column == place.location and place.field is not None:
                return f"{place.field}__code"
        return self.sheet.column(column).stored_in

    def read(self) -> dict[Key, tuple[int, Row]]:
        """All rows that stand, by key, with the primary key of each."""
        many = {one.column: self._many(one) for one in self.sheet.many}
        plain = [column for column in self.sheet.columns if column.name not in many]
        writers = [_writer(column) for column in plain]
        paths = ["pk", *(self.path(column.name) for column in plain)]
        order = [many.get(column.name) for column in self.sheet.columns]
        rows: dict[Key, tuple[int, Row]] = {}
        key_of = self.sheet.key_of
        for pk, *values in self.model._default_manager.values_list(*paths).iterator(chunk_size=_CHUNK):
            texts = [writer(value) for writer, value in zip(writers, values, strict=True)]
            if many:
                plain_texts = iter(texts)
                texts = [next(plain_texts) if table is None else table.get(pk, "") for table in order]
            row = tuple(texts)
            rows[key_of(row)] = pk, row
        return rows

    def _many(self, one: Many) -> dict[int, str]:
        """Owner's primary key -> the text of the column."""
        model = model_of(one.model)
        target = self.sheets[one.sheet]
        item = f"{one.item}__{target.columns[target.key_at[-1]].stored_in}"
        order = [*(["group"] if one.grouped else []), *(["position"] if one.position else [item])]
        query = model._default_manager.filter(**one.fixed).order_by(f"{one.owner}_id", *order)
        fields = [f"{one.owner}_id", *(["group"] if one.grouped else []), item, *one.further]
        found: dict[int, Any] = defaultdict(list)
        for owner, *rest in query.values_list(*fields).iterator(chunk_size=_CHUNK):
            group = rest.pop(0) if one.grouped else 0
            found[owner].append((group, one.join(*rest) if one.join else rest[0]))
        write = _write_groups if one.grouped else _write_list
        return {owner: write(items) for owner, items in found.items()}


def _write_list(items: list[tuple[int, str]]) -> str:
    return " ".join(item for _, item in items)


def _write_groups(items: list[tuple[int, str]]) -> str:
    groups: dict[int, list[str]] = {}
    for group, item in items:
        groups.setdefault(group, []).append(item)
    return "; ".join(" | ".join(group) for group in groups.values())


def _writer(column: Column) -> Callable[[Any], str]:
    if isinstance(column.kind, YesNoKind):
        return lambda value: "yes" if value else "no"
    if isinstance(column.kind, DateKind):
        if column.kind.parse is parse_from:
            return lambda value: write_from(value) if value else ""
        if column.kind.parse is parse_to:
            return lambda value: write_to(value) if value else ""
        return lambda value: value.isoformat() if value else ""
    default = column.default
    if default:
        return lambda value: _text(value) or default
    return _text


def _text(value: Any) -> str:
    if type(value) is str:
        return value
    if value is None:
        return ""
    if isinstance(value, Decimal):
        return decimal_text(value)
    if isinstance(value, list):
        return " ".join(_text(item) for item in value)
    if isinstance(value, date):
        return value.isoformat()
    return str(value)


def decimal_text(value: Decimal) -> str:
    """A figure without exponent and without noughts at its end.

    >>> decimal_text(Decimal("12.50000")), decimal_text(Decimal("100")), decimal_text(Decimal("-0.00"))
    ('12.5', '100', '0')
    """
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Kept:
    """The rows that stand, read sheet by sheet when first asked for."""

    def __init__(self, sheets: Sheets) -> None:
        self.sheets = sheets
        self._read: dict[str, dict[Key, tuple[int, Row]]] = {}

    def _of(self, name: str) -> dict[Key, tuple[int, Row]]:
        if name not in self._read:
            self._read[name] = Table(self.sheets[name], self.sheets).read()
        return self._read[name]

    def rows(self, name: str) -> dict[Key, Row]:
        return {key: row for key, (_, row) in self._of(name).items()}

    def pks(self, name: str) -> dict[Key, int]:
        return {key: pk for key, (pk, _) in self._of(name).items()}


def sorted_rows(rows: dict[Key, Row]) -> Iterator[Row]:
    """Rows in the order in which they are written."""
    for key in sorted(rows):
        yield rows[key]
