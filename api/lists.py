"""Lists and rows of facts: what a module of `api.views` declares, and what is done with it."""

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from django.db.models import Model, QuerySet
from rest_framework.request import Request

from api.endpoint import ReadEndpoint
from api.filters.base import Filters
from api.pagination import DEFAULT_SIZE, Cursor, links, page_of_query, read_cursor
from api.parameters import CURSOR, PAGING, Errors, checked, control_sign, one, whole
from api.problems import NotFound
from api.schema import detailed, paged
from api.serializers.base import Row
from catalog.codes import Role


class ListEndpoint(ReadEndpoint):
    """A list of rows in a unique order.

    `rows_for` gives the rows a role may know of with all that `row` reads; `order` are columns that together are
    unique and never null, `order_kinds` their types (texts where not said).
    """

    row: ClassVar[type[Row]]
    filters: ClassVar[type[Filters]]
    order: ClassVar[Sequence[str]]
    order_kinds: ClassVar[Sequence[type]] = ()

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        if hasattr(cls, "row"):
            cls.parameters = (*cls.filters.parameters(), *PAGING)
            cls.answers = {"GET": paged(cls.row, cls.row.table)}

    def rows_for(self, role: Role) -> QuerySet[Any]:
        raise NotImplementedError

    def read(self, request: Request, **keys: str) -> tuple[QuerySet[Any], int, Cursor | None]:
        errors = Errors()
        values = checked(request.GET, self.parameters, errors)
        filters = self.filters(values, self.rows_for(self.role), self.role)
        filters.check(errors)
        text = one(values, CURSOR.name)
        cursor = None
        if text is not None:
            cursor = read_cursor(text, self.order_kinds or [str] * len(self.order), errors)
        errors.stop()
        return filters.qs, whole(values, "page_size", DEFAULT_SIZE), cursor

    def compute(self, asked: tuple[QuerySet[Any], int, Cursor | None]) -> Mapping[str, Any]:
        rows, size, cursor = asked
        page = page_of_query(rows, self.order, size, cursor)
        written = self.row(page.rows, many=True, context={"role": self.role}).data
        return {"results": written, **links(page, self.request)}


class DetailEndpoint(ReadEndpoint):
    """One row under its key: `keys` are the columns by the names in the path, `what` it is called."""

    row: ClassVar[type[Row]]
    keys: ClassVar[Mapping[str, str]]
    what: ClassVar[str]

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        if hasattr(cls, "row"):
            cls.answers = {"GET": detailed(cls.row, cls.row.__name__.removesuffix("Serializer") + "Alone")}

    def rows_for(self, role: Role) -> QuerySet[Any]:
        raise NotImplementedError

    def read(self, request: Request, **keys: str) -> Model:
        checked(request.GET, ())
        key = " ".join(keys.values())
        if control_sign(key):
            raise NotFound(self.what, "")
        columns = {self.keys[name]: value for name, value in keys.items()}
        found = self.rows_for(self.role).filter(**columns).first()
        if found is None:
            raise NotFound(self.what, key)
        return found

    def compute(self, asked: Model) -> Mapping[str, Any]:
        return dict(self.row(asked, context={"role": self.role}).data)
