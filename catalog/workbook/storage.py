"""Where the rows of a sheet stand: reading tables as canonical rows, and what a row is in tables."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.apps import apps
from django.db import connection
from django.db.models import Model, Q, QuerySet
from psycopg import sql

from catalog.numbers import normal_form
from catalog.sheets.kinds import DateKind, DecimalKind, PartNumberKind, YesNoKind
from catalog.sheets.sheet import Column, Key, Many, Row, Sheet, Sheets
from catalog.windows import parse_from, parse_to, write_from, write_to

MOST_LOOKUPS = 20  # single look-ups before a sheet is read as a whole
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

    @property
    def rows(self) -> "QuerySet[Any]":
        return self.model._default_manager.all()

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

    def filter(self, texts: Mapping[str, str]) -> Q | None:
        """The rows whose columns hold these texts, as keys compare; None where the database cannot tell."""
        chosen = Q()
        for name, text in texts.items():
            column = self.sheet.column(name)
            path = self.path(name)
            if isinstance(column.kind, PartNumberKind):
                normal = [field for field, (of, by) in self.sheet.computed.items() if of == name and by is normal_form]
                if not normal:
                    return None
                path = normal[0]
            if any(many.column == name for many in self.sheet.many) or isinstance(column.kind, DecimalKind):
                return None
            if text == "" and ("__" in path or isinstance(column.kind, DateKind)):
                chosen &= Q(**{f"{path}__isnull": True})
            else:
                chosen &= Q(**{path: text == "yes" if isinstance(column.kind, YesNoKind) else column.kind.stored(text)})
        return chosen

    def read(self, chosen: Q | None = None) -> dict[Key, tuple[int, Row]]:
        """The rows that stand (all, or those chosen), by key, with the primary key of each."""
        query = self.rows if chosen is None else self.rows.filter(chosen)
        owners = None if chosen is None else list(query.values_list("pk", flat=True)) if self.sheet.many else []
        many = {one.column: self._many(one, owners) for one in self.sheet.many}
        plain = [column for column in self.sheet.columns if column.name not in many]
        writers = [_writer(column) for column in plain]
        paths = ["pk", *(self.path(column.name) for column in plain)]
        order = [many.get(column.name) for column in self.sheet.columns]
        rows: dict[Key, tuple[int, Row]] = {}
        key_of = self.sheet.key_of
        for pk, *values in query.values_list(*paths).iterator(chunk_size=_CHUNK):
            texts = [writer(value) for writer, value in zip(writers, values, strict=True)]
            if many:
                plain_texts = iter(texts)
                texts = [next(plain_texts) if table is None else table.get(pk, "") for table in order]
            row = tuple(texts)
            rows[key_of(row)] = pk, row
        return rows

    def _many(self, one: Many, owners: list[int] | None) -> dict[int, str]:
        """Owner's primary key -> the text of the column, of some owners or all."""
        model = model_of(one.model)
        target = self.sheets[one.sheet]
        item = f"{one.item}__{target.columns[target.key_at[-1]].stored_in}"
        order = [*(["group"] if one.grouped else []), *(["position"] if one.position else [item])]
        of = {} if owners is None else {f"{one.owner}__in": owners}
        query = model._default_manager.filter(**one.fixed, **of).order_by(f"{one.owner}_id", *order)
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
    """A figure without exponent and without zeros at its end.

    >>> decimal_text(Decimal("12.50000")), decimal_text(Decimal("100")), decimal_text(Decimal("-0.00"))
    ('12.5', '100', '0')
    """
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class StoredRows:
    """The rows of one sheet that stand, read as they are asked for."""

    def __init__(self, table: Table) -> None:
        self._table = table
        self._rows: dict[Key, tuple[int, Row]] = {}
        self._missing: set[Key] = set()
        self._lookups = 0
        self.is_whole = False

    def get(self, key: Key) -> Row | None:
        found = self._found(key)
        return None if found is None else found[1]

    def pk(self, key: Key) -> int:
        """The primary key of a row; raises KeyError."""
        found = self._found(key)
        if found is None:
            raise KeyError(key)
        return found[0]

    def where(self, texts: Mapping[str, str]) -> dict[Key, Row]:
        """The rows whose columns hold these texts, in the form in which keys compare."""
        chosen = self._table.filter(texts)
        if chosen is None or self.is_whole:
            return {key: row for key, row in self.all().items() if self._table.sheet.holds(row, texts)}
        found = self._table.read(chosen)
        self._rows |= found
        return {key: row for key, (_, row) in found.items()}

    def any(self, texts: Mapping[str, str]) -> bool:
        chosen = self._table.filter(texts)
        return bool(self.where(texts)) if chosen is None else self._table.rows.filter(chosen).exists()

    def all(self) -> dict[Key, Row]:
        if not self.is_whole:
            self._rows = self._table.read()
            self.is_whole = True
        return {key: row for key, (_, row) in self._rows.items()}

    def _found(self, key: Key) -> tuple[int, Row] | None:
        found = self._rows.get(key)
        if found is not None or self.is_whole or key in self._missing:
            return found
        self._lookups += 1
        chosen = self._table.filter(dict(zip(self._table.sheet.key_names, key, strict=True)))
        if chosen is None or self._lookups > MOST_LOOKUPS:
            self.all()
        else:
            self._rows |= self._table.read(chosen)
        if key not in self._rows:
            self._missing.add(key)
        return self._rows.get(key)


class Stored:
    """The rows of every sheet that stand."""

    def __init__(self, sheets: Sheets) -> None:
        self.sheets = sheets
        self._of: dict[str, StoredRows] = {}

    def rows(self, name: str) -> StoredRows:
        if name not in self._of:
            self._of[name] = StoredRows(Table(self.sheets[name], self.sheets))
        return self._of[name]


def sorted_rows(rows: dict[Key, tuple[int, Row]]) -> Iterator[Row]:
    """Rows as a table is read, in the order in which they are written."""
    for key in sorted(rows):
        yield rows[key][1]


def row_counts(sheets: Sheets) -> dict[str, int]:
    """Rows by sheet, without the sheet of the catalogue itself (one query)."""
    counts = [
        sql.SQL("SELECT {}, count(*) FROM {}").format(
            sql.Literal(sheet.name), sql.Identifier(Table(sheet, sheets).model._meta.db_table)
        )
        for sheet in sheets
        if sheet.name != "catalogue"
    ]
    with connection.cursor() as cursor:
        cursor.execute(sql.SQL(" UNION ALL ").join(counts))
        return dict(sheets.in_order(dict(cursor.fetchall())))
