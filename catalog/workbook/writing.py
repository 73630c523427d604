"""Writing what changes: keys first, then rows by COPY, in the transaction of the caller.

Foreign keys are checked when the transaction ends (Django makes them deferrable), so rows may come in any order;
`constraints_check` brings the check forward.
"""

from collections.abc import Iterable, Sequence
from typing import Any, cast

from django.db import connection
from django.db.models import Field, Model
from psycopg import sql

from catalog.sheets.kinds import groups_of
from catalog.sheets.sheet import Key, Many, Row, Sheet, Sheets
from catalog.workbook.draft import Draft, RowChange, SheetChanges
from catalog.workbook.storage import StoredRows, Table, model_of

Record = Sequence[Any]
MANY_ROWS = 1_000


class Writer:
    """Brings the tables from what is stored to the draft."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.sheets: Sheets = draft.sheets
        self._pks: dict[str, Pks] = {}
        self._moved_axles = self._find_moved_axles()

    def write(self) -> None:
        """Writes every sheet that changes; what refers to a moved axle's locations is written again."""
        work = [(sheet, self._to_write(sheet)) for sheet in self.sheets if sheet.name != "catalogue"]
        for sheet, changes in work:
            self._remove(sheet, changes.removed)
        for sheet, changes in work:
            self._allot(sheet, changes.added)
        for sheet, changes in work:
            self._write_rows(sheet, changes)
        for sheet, changes in work:
            # All go before any come: two columns may share a table (options and standard options).
            for many in sheet.many:
                self._remove_many(sheet, many, changes)
            for many in sheet.many:
                self._write_many(sheet, many, changes)
        for sheet, changes in work:
            if len(changes.added) > MANY_ROWS:
                self._analyze(sheet)

    def _analyze(self, sheet: Sheet) -> None:
        """Statistics of tables that grew: the answers compared next read them."""
        models = [Table(sheet, self.sheets).model, *(model_of(many.model) for many in sheet.many)]
        with connection.cursor() as cursor:
            for model in models:
                cursor.execute(sql.SQL("ANALYZE {}").format(sql.Identifier(model._meta.db_table)))

    def pks(self, name: str) -> "Pks":
        """The primary keys of the rows as they will be."""
        if name not in self._pks:
            self._pks[name] = Pks(self.draft.stored.rows(name))
        return self._pks[name]

    def _find_moved_axles(self) -> set[str]:
        changes = self.draft.changes.get("axles", SheetChanges())
        get = self.sheets["axles"].get
        return {
            change.key[0]
            for change in changes.changed
            if change.before and change.after and get(change.before, "topology") != get(change.after, "topology")
        }

    def _to_write(self, sheet: Sheet) -> SheetChanges:
        changes = self.draft.changes.get(sheet.name, SheetChanges())
        if self._moved_axles and any(place.field for place in sheet.places):
            done = {change.key for change in changes}
            at = sheet.index["axle"]
            again = [
                RowChange(key, row, row)
                for key, row in self.draft.rows(sheet.name).items()
                if row[at] in self._moved_axles and key not in done
            ]
            changes = SheetChanges(changes.added, [*changes.changed, *again], changes.removed)
        return changes

    def _remove(self, sheet: Sheet, removed: list[RowChange]) -> None:
        if not removed:
            return
        pks = self.pks(sheet.name)
        gone = [pks[change.key] for change in removed]
        for many in sheet.many:
            _delete(model_of(many.model), f"{many.owner}_id", gone)
        _delete(Table(sheet, self.sheets).model, "id", gone)

    def _allot(self, sheet: Sheet, added: list[RowChange]) -> None:
        if added:
            numbers = _next_pks(Table(sheet, self.sheets).model, len(added))
            self.pks(sheet.name).update(zip((change.key for change in added), numbers, strict=True))

    def _write_rows(self, sheet: Sheet, changes: SheetChanges) -> None:
        if not changes.added and not changes.changed:
            return
        record = _Recorder(self, sheet)
        pks = self.pks(sheet.name)
        # Made before the COPY begins: a key may have to be looked up, and the connection is then taken.
        for held, write in ((changes.added, copy_rows), (changes.changed, _update)):
            rows = [(pks[change.key], *record(change.after)) for change in held if change.after is not None]
            if rows:
                write(record.model, ["id", *record.columns], rows)

    def _remove_many(self, sheet: Sheet, many: Many, changes: SheetChanges) -> None:
        changed = _changed_at(changes, sheet.index[many.column])
        if changed:
            pks = self.pks(sheet.name)
            _delete(model_of(many.model), f"{many.owner}_id", [pks[change.key] for change in changed], many.fixed)

    def _write_many(self, sheet: Sheet, many: Many, changes: SheetChanges) -> None:
        """The items of a column: those of rows where it changed are written anew."""
        at = sheet.index[many.column]
        written = [*changes.added, *_changed_at(changes, at)]
        if not any(change.after and change.after[at] for change in written):
            return
        model, pks = model_of(many.model), self.pks(sheet.name)
        items = self.pks(many.sheet)
        scope = [sheet.index[name] for name in many.scope]
        records = []
        for change in written:
            if change.after is None or not change.after[at]:
                continue
            prefix = tuple(change.after[index] for index in scope)
            groups = groups_of(change.after[at]) if many.grouped else [change.after[at].split(" ")]
            for group, texts in enumerate(groups):
                for position, text in enumerate(texts):
                    code, *further = many.split(text) if many.split else (text,)
                    place = [group] * many.grouped + [position] * many.position
                    records.append((pks[change.key], items[*prefix, code], *place, *further, *many.fixed.values()))
        order = ["group"] * many.grouped + ["position"] * many.position
        columns = [f"{many.owner}_id", f"{many.item}_id", *order, *many.further, *many.fixed]
        copy_rows(model, columns, records)


def _changed_at(changes: SheetChanges, at: int) -> list[RowChange]:
    return [
        change for change in changes.changed if change.before and change.after and change.before[at] != change.after[at]
    ]


class Pks(dict[Key, int]):
    """Primary keys by key; those of standing rows are looked up when asked for."""

    def __init__(self, stored: StoredRows) -> None:
        super().__init__()
        self._stored = stored

    def __missing__(self, key: Key) -> int:
        self[key] = found = self._stored.pk(key)
        return found


class _Recorder:
    """Makes the values of a table's columns out of a row."""

    def __init__(self, writer: Writer, sheet: Sheet) -> None:
        self.sheet, self.writer = sheet, writer
        self.model = Table(sheet, writer.sheets).model
        self.columns: list[str] = []
        self._plain: list[tuple[int, Any, bool]] = []
        self._links: list[tuple[tuple[int, ...], Pks]] = []
        self._places: list[tuple[int, int]] = []
        self._computed: list[tuple[int, Any]] = []
        read_through = {name for reference in sheet.references for name in reference.read_through}
        read_through |= {place.location for place in sheet.places if place.field} | {many.column for many in sheet.many}
        for at, column in enumerate(sheet.columns):
            if column.name not in read_through:
                field = self._field(column.stored_in)
                self._plain.append((at, column.kind, field.null))
                self.columns.append(field.attname)
        for reference in sheet.references:
            if reference.field is not None:
                columns = tuple(sheet.index[name] for name in reference.columns)
                self._links.append((columns, writer.pks(reference.sheet)))
                self.columns.append(self._field(reference.field).attname)
        for place in sheet.places:
            if place.field is not None:
                self._places.append((sheet.index[place.axle], sheet.index[place.location]))
                self.columns.append(self._field(place.field).attname)
        for name, (column_name, compute) in sheet.computed.items():
            self._computed.append((sheet.index[column_name], compute))
            self.columns.append(self._field(name).attname)
        self._axles, self._locations = writer.draft.rows("axles"), writer.pks("locations")

    def _field(self, name: str) -> "Field[Any, Any]":
        return cast("Field[Any, Any]", self.model._meta.get_field(name))

    def __call__(self, row: Row | None) -> list[Any]:
        assert row is not None  # noqa: S101 - only rows that will be are written
        values: list[Any] = [None if null and row[at] == "" else kind.stored(row[at]) for at, kind, null in self._plain]
        for columns, pks in self._links:
            values.append(pks[tuple(row[at] for at in columns)] if row[columns[-1]] else None)
        for axle, location in self._places:
            topology = self._axles.sheet.get(self._axles[(row[axle],)], "topology")
            values.append(self._locations[topology, row[location]])
        for at, compute in self._computed:
            values.append(compute(row[at]))
        return values


def _next_pks(model: type[Model], count: int) -> list[int]:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT nextval(pg_get_serial_sequence(%s, 'id')) FROM generate_series(1, %s)",
            [model._meta.db_table, count],
        )
        return [row[0] for row in cursor.fetchall()]


def _names(columns: Sequence[str]) -> sql.Composed:
    return sql.SQL(", ").join(map(sql.Identifier, columns))


def copy_rows(model: type[Model], columns: Sequence[str], records: Iterable[Record], table: str | None = None) -> None:
    """COPY of records; values are texts as PostgreSQL reads them, numbers, or None."""
    target = sql.Identifier(table or model._meta.db_table)
    statement = sql.SQL("COPY {} ({}) FROM STDIN").format(target, _names(columns))
    with connection.cursor() as cursor, cursor.copy(statement) as copy:
        for record in records:
            copy.write_row(record)


def _update(model: type[Model], columns: Sequence[str], records: Iterable[Record]) -> None:
    """Updates rows by primary key (the first column), by way of a temporary table."""
    sets = sql.SQL(", ").join(sql.SQL("{0} = s.{0}").format(sql.Identifier(column)) for column in columns[1:])
    temporary = f"changed_{model._meta.db_table}"
    names = {
        "table": sql.Identifier(model._meta.db_table),
        "temporary": sql.Identifier(temporary),
        "columns": _names(columns),
        "sets": sets,
    }
    create = "CREATE TEMPORARY TABLE {temporary} ON COMMIT DROP AS SELECT {columns} FROM {table} WITH NO DATA"
    with connection.cursor() as cursor:
        cursor.execute(sql.SQL("DROP TABLE IF EXISTS {temporary}").format(**names))
        cursor.execute(sql.SQL(create).format(**names))
        copy_rows(model, columns, records, table=temporary)
        cursor.execute(sql.SQL("UPDATE {table} t SET {sets} FROM {temporary} s WHERE t.id = s.id").format(**names))
        cursor.execute(sql.SQL("DROP TABLE {temporary}").format(**names))


def _delete(model: type[Model], column: str, values: list[int], fixed: Any = None) -> None:
    where = [sql.SQL("{} = ANY(%s)").format(sql.Identifier(column))]
    for name, value in (fixed or {}).items():
        where.append(sql.SQL("{} = {}").format(sql.Identifier(name), sql.Literal(value)))
    table = sql.Identifier(model._meta.db_table)
    with connection.cursor() as cursor:
        cursor.execute(sql.SQL("DELETE FROM {} WHERE {}").format(table, sql.SQL(" AND ").join(where)), [values])


def constraints_check() -> None:
    """Has the database check every foreign key now, not at the end of the transaction."""
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")
