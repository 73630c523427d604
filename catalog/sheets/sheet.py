"""What a sheet is: its columns, its key, what it refers to, and which table it stands in.

A `Row` is the canonical texts of a sheet's columns, in their order; an empty text is an empty cell.
A `Key` is the texts of its key columns in the form in which they compare.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from catalog.codes import Role
from catalog.sheets.kinds import BadCell, Kind

T = TypeVar("T")
Row = tuple[str, ...]
Key = tuple[str, ...]
REMOVE = "remove"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: all that is said of a field of a fact, but for the field of the model.

    `key`: part of the key; `required`: never empty; `default`: what an empty cell stands for; `field`: the model field
    where it differs from the column's name; `of`: the sheet of whose rows it names one by its key (a key of several
    columns is a `Reference`). `help` is one sentence for people, `role` the least role that sees the column, `filter`
    the name of the parameter that narrows lists by it (none where empty).
    """

    name: str
    kind: Kind
    help: str
    key: bool = False
    required: bool = False
    default: str = ""
    field: str = ""
    of: str = ""
    role: Role = Role.PUBLIC
    filter: str = ""

    @property
    def stored_in(self) -> str:
        return self.field or self.name

    def filled(self, text: str) -> str:
        """A text, or what an empty cell stands for; raises BadCell where it may not be empty."""
        if not text and self.required:
            raise BadCell("the cell is empty", "it must be filled")
        return text or self.default


@dataclass(frozen=True, slots=True)
class Reference:
    """Columns that name a row of another sheet by its key.

    The last column empty: no reference. `field` is the foreign key (None: kept as text, only checked) and
    `owns` the columns that are read back through it (None: all).
    """

    columns: tuple[str, ...]
    sheet: str
    field: str | None
    owns: tuple[str, ...] | None = None

    @property
    def read_through(self) -> tuple[str, ...]:
        return () if self.field is None else self.columns if self.owns is None else self.owns


@dataclass(frozen=True, slots=True)
class PlaceColumn:
    """A location code beside an axle: the location of that code of the axle's topology."""

    axle: str = "axle"
    location: str = "location"
    field: str | None = "location"


@dataclass(frozen=True, slots=True)
class Many:
    """A column that stands in a table of its own, a row an item.

    `owner` and `item` are the foreign keys of that table; an item is named by `scope` columns of the row and its
    text (operations of the same axle). `grouped`: groups of alternatives; `position`: the order is kept.
    `split` makes the texts of further fields out of an item's text, `join` the text out of them.
    """

    column: str
    model: str
    owner: str
    item: str
    sheet: str
    scope: tuple[str, ...] = ()
    grouped: bool = False
    position: bool = True
    fixed: Mapping[str, bool] = field(default_factory=dict)
    further: tuple[str, ...] = ()
    split: Callable[[str], tuple[str, ...]] | None = None
    join: Callable[..., str] | None = None


@dataclass(frozen=True)
class Sheet:
    """A sheet of the workbook.

    `references` are those of several columns, to which those of single columns are added. `group` names the key
    columns whose group a load replaces as a whole. `computed` are model fields computed from one column. `ordered`
    are columns that do not decrease. `counted_only`: rows that a service gathers, loaded only into an empty catalogue.
    `writer`: the least role that adds and changes single rows.
    """

    name: str
    model: str
    columns: tuple[Column, ...]
    references: tuple[Reference, ...] = ()
    places: tuple[PlaceColumn, ...] = ()
    many: tuple[Many, ...] = ()
    group: tuple[str, ...] = ()
    computed: Mapping[str, tuple[str, Callable[[str], str]]] = field(default_factory=dict)
    ordered: tuple[tuple[str, ...], ...] = ()
    counted_only: bool = False
    writer: Role = Role.EDITOR

    def __post_init__(self) -> None:
        single = (Reference((column.name,), column.of, column.name) for column in self.columns if column.of)
        object.__setattr__(self, "references", (*single, *self.references))

    @cached_property
    def index(self) -> dict[str, int]:
        return {column.name: at for at, column in enumerate(self.columns)}

    @cached_property
    def key_at(self) -> tuple[int, ...]:
        return tuple(at for at, column in enumerate(self.columns) if column.key)

    @cached_property
    def key_names(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.columns if column.key)

    @cached_property
    def group_at(self) -> tuple[int, ...]:
        return tuple(self.index[name] for name in self.group)

    @cached_property
    def _seen(self) -> dict[Role, frozenset[str]]:
        return {role: frozenset(column.name for column in self.columns if role.at_least(column.role)) for role in Role}

    def seen_by(self, role: Role) -> frozenset[str]:
        """The names of the columns that a role sees."""
        return self._seen[role]

    def column(self, name: str) -> Column:
        return self.columns[self.index[name]]

    def key_of(self, row: Row) -> Key:
        return tuple(self.columns[at].kind.compare(row[at]) for at in self.key_at)

    def compared(self, row: Row, name: str) -> str:
        """The text of a column in the form in which it compares."""
        at = self.index[name]
        return self.columns[at].kind.compare(row[at])

    def holds(self, row: Row, texts: Mapping[str, str]) -> bool:
        """Whether columns of a row hold these texts, in the form in which they compare."""
        return all(self.compared(row, name) == text for name, text in texts.items())

    def same(self, one: Row, other: Row) -> bool:
        """Whether two rows say the same (numbers in their normal form)."""
        return one == other or all(
            a == b or column.kind.compare(a) == column.kind.compare(b)
            for column, a, b in zip(self.columns, one, other, strict=True)
        )

    def get(self, row: Row, name: str) -> str:
        return row[self.index[name]]

    def named(self, row: Row) -> dict[str, str]:
        """The row as column -> text, as history keeps it."""
        return dict(zip(self.index, row, strict=True))


class Sheets:
    """All sheets of a workbook, in the order in which they are written."""

    def __init__(self, sheets: Iterable[Sheet]) -> None:
        self.by_name = {sheet.name: sheet for sheet in sheets}

    def __iter__(self) -> Iterator[Sheet]:
        return iter(self.by_name.values())

    def __getitem__(self, name: str) -> Sheet:
        return self.by_name[name]

    def __contains__(self, name: str) -> bool:
        return name in self.by_name

    def names(self) -> list[str]:
        return list(self.by_name)

    def in_order(self, by_sheet: Mapping[str, T]) -> list[tuple[str, T]]:
        """What is held by sheet in the order of the workbook, which a JSON column of the database does not keep."""
        return [(name, by_sheet[name]) for name in self.by_name if name in by_sheet]


def key_text(key: Key) -> str:
    """A key in one line, as history and messages write it."""
    return " / ".join(key)
