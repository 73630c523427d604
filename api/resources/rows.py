"""A row of facts as the API writes it: members made of the columns of its sheet, each for a least role.

The value of a column is read by the same path by which the workbook reads it (`catalog.workbook.storage.Table`), so
that sheet and API cannot differ; from the paths follow also the joins that a query of such rows needs.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.db.models import CharField, Field, ManyToOneRel, Model, Prefetch, QuerySet
from drf_spectacular.extensions import OpenApiSerializerExtension
from drf_spectacular.openapi import AutoSchema

from api.addresses import address
from api.schema import CatalogueSerializer
from catalog.codes import Role
from catalog.sheets.kinds import MOST_WHOLE, DateKind, DecimalKind, GroupsKind, Kind, ListKind, WholeKind, YesNoKind
from catalog.sheets.sheet import Column, Many, Sheet
from catalog.workbook.storage import Table, model_of
from fitment.sheets import SHEETS

Schema = dict[str, Any]
Prefetches = Sequence["str | Prefetch[Any]"]
TEXT: Schema = {"type": "string"}


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """An object of the OpenAPI document; a property may be a shape, a serializer, or a list of one."""

    name: str
    about: str
    properties: Mapping[str, Any]
    required: Collection[str]


class ShapeExtension(OpenApiSerializerExtension):
    """A shape as a component of the document."""

    target_class = Shape

    def get_name(self, auto_schema: AutoSchema, direction: Any) -> str:
        return str(self.target.name)

    def map_serializer(self, auto_schema: AutoSchema, direction: Any) -> Schema:
        def schema(found: Any) -> Schema:
            if isinstance(found, dict):
                return found
            if isinstance(found, list):
                return {"type": "array", "items": schema(found[0])}
            return auto_schema.resolve_serializer(found, direction).ref

        properties = {name: schema(found) for name, found in self.target.properties.items()}
        made = {"type": "object", "description": self.target.about, "properties": properties}
        return made | ({"required": sorted(self.target.required)} if self.target.required else {})


@dataclass(frozen=True, slots=True)
class FactMember:
    """One member of a row: how it is read, its schema (or the shape of the rows inside), who sees it.

    `joins` are the foreign keys it is read through, `prefetches` the further tables by role.
    """

    name: str
    read: Callable[[Any, Role], Any]
    schema: Any
    role: Role = Role.PUBLIC
    joins: tuple[str, ...] = ()
    prefetches: Callable[[Role], Prefetches] = lambda role: ()


@dataclass(frozen=True)
class FactRow:
    """The members of a row, in order, under the name that the document has for it."""

    name: str
    about: str
    members: tuple[FactMember, ...]

    @cached_property
    def _seen(self) -> dict[Role, list[FactMember]]:
        return {role: [one for one in self.members if role.at_least(one.role)] for role in Role}

    def write(self, row: Any, role: Role) -> dict[str, Any]:
        """The members that the role sees."""
        return {member.name: member.read(row, role) for member in self._seen[role]}

    def query(self, rows: QuerySet[Any], role: Role) -> QuerySet[Any]:
        """The same rows with all that `write` reads of them."""
        joins = {join for member in self.members for join in member.joins}
        prefetches = dict.fromkeys(one for member in self.members for one in member.prefetches(role))
        return (rows.select_related(*joins) if joins else rows).prefetch_related(*prefetches)

    @cached_property
    def shape(self) -> Shape:
        public = [member.name for member in self.members if member.role is Role.PUBLIC]
        return Shape(self.name, self.about, {member.name: member.schema for member in self.members}, public)

    def alone(self, name: str) -> Shape:
        """The shape of one row that stands alone: with the catalogue."""
        properties = {"catalogue": CatalogueSerializer, **self.shape.properties}
        return Shape(name, self.about, properties, ["catalogue", *self.shape.required])

    def body(self, name: str) -> Shape:
        """The shape of a body with the columns of a row: each may be left out, and stays as it is then."""
        return Shape(name, self.about, self.shape.properties, ())

    def page(self, name: str, what: str) -> Shape:
        """The shape of one page of a list of such rows."""
        nullable = {"type": ["string", "null"]}
        return Shape(
            name,
            f"A page of {what}.",
            {
                "catalogue": CatalogueSerializer,
                "results": [self.shape],
                "next": {**nullable, "description": "The next page's address, or null."},
                "previous": {**nullable, "description": "The address of the page before."},
            },
            ("catalogue", "results", "next", "previous"),
        )


def row_of(
    sheet: Sheet,
    name: str,
    about: str,
    *,
    columns: Iterable[str] | None = None,
    without: Collection[str] = (),
    members: Mapping[str, FactMember] | None = None,
    last: Sequence[FactMember] = (),
) -> FactRow:
    """The row of a sheet: its columns (some of them, or without some), then the `last`.

    `members` stand behind the column that they are given under, or in its place where they have its name.
    """
    found: list[FactMember] = []
    for column in sheet.columns if columns is None else map(sheet.column, columns):
        other = (members or {}).get(column.name)
        if column.name not in without and (other is None or other.name != column.name):
            found.append(member_of(sheet, column))
        if other is not None:
            found.append(other)
    return FactRow(name, about, (*found, *last))


def member_of(sheet: Sheet, column: Column) -> FactMember:
    """The member that a column is."""
    described: Schema = {"description": column.help}
    if many := next((one for one in sheet.many if one.column == column.name), None):
        accessor = accessor_of(many)
        schema = _schema(column.kind, nullable=False)
        return FactMember(
            column.name,
            _items(many, accessor),
            schema | described,
            column.role,
            prefetches=lambda role: (f"{accessor}__{many.item}",),
        )
    path = path_of(sheet, column.name)
    nullable = _is_nullable(model_of(sheet.model), path, column)
    return FactMember(
        column.name,
        _reader(column.kind, path, nullable=nullable),
        _schema(column.kind, nullable=nullable) | described,
        column.role,
        joins=joins_of([path]),
    )


def address_of(sheet: Sheet) -> FactMember:
    """`href`: the address of the row, from its key."""
    paths = [path_of(sheet, sheet.columns[at].name) for at in sheet.key_at]
    reads = [_follow(path) for path in paths]
    schema = {**TEXT, "description": "The address of the row."}
    return FactMember(
        "href", lambda row, role: address(sheet.name, *(read(row) for read in reads)), schema, joins=joins_of(paths)
    )


def path_of(sheet: Sheet, column: str) -> str:
    """The path by which Django reads a column."""
    return Table(sheet, SHEETS).path(column)


def joins_of(paths: Iterable[str]) -> tuple[str, ...]:
    """The foreign keys on the way of paths."""
    return tuple({path.rpartition("__")[0] for path in paths if "__" in path})


def accessor_of(many: Many) -> str:
    """The name by which an owner has the rows of a list or of groups."""
    relation = model_of(many.model)._meta.get_field(many.owner).remote_field
    assert isinstance(relation, ManyToOneRel)  # noqa: S101 - for the types: a foreign key
    return str(relation.get_accessor_name())


def item_of(many: Many) -> str:
    """The path from a row of a list or of groups to the text of its item."""
    target = SHEETS[many.sheet]
    return f"{many.item}__{target.columns[target.key_at[-1]].stored_in}"


def _is_nullable(model: type[Model], path: str, column: Column) -> bool:
    """Whether a column may have no value: by a foreign key on its way, or by itself."""
    *links, last = path.split("__")
    for name in links:
        link: Any = model._meta.get_field(name)
        if link.null:
            return True
        model = link.related_model
    field: Any = model._meta.get_field(last)
    assert isinstance(field, Field)  # noqa: S101 - for the types: a column, no relation
    return field.null or (isinstance(field, CharField) and field.blank and not column.required and not field.default)


def _schema(kind: Kind, *, nullable: bool) -> Schema:
    """The JSON schema of a value of a kind."""
    match kind:
        case GroupsKind():
            return {"type": "array", "items": {"type": "array", "items": TEXT}}
        case ListKind(item=item):
            return {"type": "array", "items": _schema(item, nullable=False)}
        case WholeKind(minimum=low, maximum=high):
            schema: Schema = {"type": "integer", **_limits(low, None if high == MOST_WHOLE else high)}
        case DecimalKind(minimum=low, maximum=high):
            schema = {"type": "number", "format": "double", **_limits(low, high)}
        case YesNoKind():
            schema = {"type": "boolean"}
        case DateKind():
            schema = {"type": "string", "format": "date"}
        case _:
            schema = {"type": "string"}
    return schema | {"type": [schema["type"], "null"]} if nullable else schema


def _limits(low: Decimal | None, high: Decimal | None) -> Schema:
    return {name: int(limit) for name, limit in (("minimum", low), ("maximum", high)) if limit is not None}


def _follow(path: str) -> Callable[[Any], Any]:
    """What stands at the end of a path; None where a foreign key on its way is empty."""
    names = path.split("__")

    def read(row: Any) -> Any:
        for name in names:
            if row is None:
                return None
            row = getattr(row, name)
        return row

    return read


def _reader(kind: Kind, path: str, *, nullable: bool) -> Callable[[Any, Role], Any]:
    read = _follow(path)
    match kind:
        case ListKind(array=False):
            return lambda row, role: read(row).split()
        case _ if nullable:
            return lambda row, role: None if (value := read(row)) == "" else value
        case _:
            return lambda row, role: read(row)


def _items(many: Many, accessor: str) -> Callable[[Any, Role], Any]:
    """The texts of a list in their order, or those of each group."""
    texts = [_follow(item_of(many)), *map(_follow, many.further)]

    def entry(one: Any) -> tuple[int, int, str]:
        read = [text(one) for text in texts]
        text = many.join(*read) if many.join else read[0]
        return one.group if many.grouped else 0, one.position if many.position else 0, text

    def items(row: Any, role: Role) -> list[Any]:
        rows = getattr(row, accessor).all()
        kept = (one for one in rows if all(getattr(one, name) == value for name, value in many.fixed.items()))
        groups: dict[int, list[str]] = {}
        for group, _, text in sorted(map(entry, kept)):
            groups.setdefault(group, []).append(text)
        return list(groups.values()) if many.grouped else groups.get(0, [])

    return items
