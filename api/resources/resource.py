"""What a resource of facts declares; its list, its detail, their schema and their filters are made from that."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import KW_ONLY, dataclass
from functools import cached_property
from typing import Any

from django.db.models import Model, Prefetch, QuerySet

from api.resources.filters import Filter, RowFilters, Rows, filter_of
from api.resources.rows import FactMember, FactRow, Prefetches, address_of, path_of, row_of
from catalog.codes import Role
from catalog.selectors.visible import visible_rows
from catalog.sheets.sheet import Sheet
from catalog.workbook.storage import model_of


def key_columns(sheet: Sheet) -> list[str]:
    return [sheet.columns[at].name for at in sheet.key_at]


@dataclass(frozen=True)
class Inside:
    """Rows of another sheet inside a row, without the columns that name the row they are inside of.

    `name` is that of the member (of the sheet), `row` that of the row (of the model) unless said, `order` that of
    their key. `columns`: only these; `members`, `last` as in `row_of`; `href`: with their address; `rows` narrows them.
    """

    sheet: Sheet
    about: str
    _: KW_ONLY
    name: str = ""
    row: str = ""
    columns: Sequence[str] | None = None
    members: Mapping[str, FactMember] | None = None
    last: Sequence[FactMember] = ()
    href: bool = False
    order: Sequence[Any] = ()
    rows: Callable[[Rows], Rows] = lambda rows: rows

    def member_in(self, owner: Sheet) -> FactMember:
        """The member of the row they are inside of."""
        named = key_columns(owner)
        last = [*self.last, *([address_of(self.sheet)] if self.href else [])]
        model, name = model_of(self.sheet.model), self.name or self.sheet.name
        row = row_of(
            self.sheet,
            self.row or model.__name__,
            self.about,
            columns=self.columns,
            without=named,
            members=self.members,
            last=last,
        )
        order = self.order or [path_of(self.sheet, name) for name in key_columns(self.sheet) if name not in named]
        attribute = f"inside_{name}"

        def prefetches(role: Role) -> Prefetches:
            rows = row.query(self.rows(visible_rows(model, role)), role).order_by(*order, "pk")
            return [Prefetch(self._accessor(named), rows, to_attr=attribute)]

        def read(of: Any, role: Role) -> list[dict[str, Any]]:
            return [row.write(one, role) for one in getattr(of, attribute)]

        return FactMember(name, read, [row.shape], prefetches=prefetches)

    def _accessor(self, named: list[str]) -> str:
        """The name by which the row they are inside of has them."""
        field = next(one.field for one in self.sheet.references if list(one.columns) == named)
        relation: Any = model_of(self.sheet.model)._meta.get_field(str(field)).remote_field
        return str(relation.get_accessor_name())


@dataclass(frozen=True)
class Resource:
    """A resource: the rows of a sheet that a role may know of, as a list and each under its key.

    Attributes
    ----------
    about, listed
        What a row is, and what the list shows, in a sentence each.
    detail
        What a row is together with the rows `inside` it.
    order, order_kinds
        Fields that together are unique and never null (those of the key where none are said), and their types where
        they are not all texts.
    rows
        What else the order or the filters need of a row.
    filters
        Relations that a list is narrowed by, beside the columns with `filter`.
    together
        Narrows by several of the filters at once.
    members, last
        As in `row_of`. `href`: whether rows stand under their key; `pattern`: the address, where a key may hold `/`.
    counted
        Whether its rows make no edition but advance a counter.
    """

    sheet: Sheet
    about: str
    listed: str
    _: KW_ONLY
    detail: str = ""
    order: Sequence[str] = ()
    order_kinds: Sequence[type] = ()
    rows: Callable[[Rows], Rows] = lambda rows: rows
    filters: Sequence[Filter] = ()
    together: Callable[[Rows, Mapping[str, Sequence[str]], Role], Rows] = lambda rows, values, role: rows
    members: Mapping[str, FactMember] | None = None
    last: Sequence[FactMember] = ()
    inside: Sequence[Inside] = ()
    href: bool = True
    pattern: str = ""
    counted: bool = False

    @cached_property
    def model(self) -> type[Model]:
        return model_of(self.sheet.model)

    @cached_property
    def name(self) -> str:
        return self.model.__name__

    @cached_property
    def keys(self) -> dict[str, str]:
        """The columns of the key, and the paths by which they are read."""
        return {name: path_of(self.sheet, name) for name in key_columns(self.sheet)}

    @cached_property
    def minimum_role(self) -> Role:
        """The least role that sees a column of the sheet."""
        return min((column.role for column in self.sheet.columns), key=lambda role: role.rank)

    @cached_property
    def row(self) -> FactRow:
        last = [*self.last, *([address_of(self.sheet)] if self.href else [])]
        return row_of(self.sheet, self.name, self.about, members=self.members, last=last)

    @cached_property
    def whole(self) -> FactRow:
        """The row with the rows inside it."""
        if not self.inside:
            return self.row
        members = (*self.row.members, *(one.member_in(self.sheet) for one in self.inside))
        return FactRow(f"{self.name}Detail", self.detail, members)

    @cached_property
    def all_filters(self) -> tuple[Filter, ...]:
        columns = (column for column in self.sheet.columns if column.filter)
        return (*(filter_of(self.sheet, column) for column in columns), *self.filters)

    @cached_property
    def filter_set(self) -> type[RowFilters]:
        return type(f"{self.name}Filters", (RowFilters,), {one.parameter.name: one for one in self.all_filters})

    def visible(self, role: Role) -> QuerySet[Any]:
        return self.rows(visible_rows(self.model, role))
