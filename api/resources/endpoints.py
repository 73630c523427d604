"""The addresses of a resource: its list, a row under its key, and for evidence the way to add a row."""

from collections.abc import Mapping
from typing import Any, ClassVar

from django.db.models import Model, QuerySet
from django.http import HttpResponse
from rest_framework.request import Request

from api.bodies import refuse_vins
from api.endpoint import ReadEndpoint
from api.pagination import PageRequest, links, page_of_query, read_page
from api.parameters import PAGING, Errors, checked, control_sign
from api.problems import NotFound, bad_body
from api.resources.resource import Resource
from catalog.sheets.kinds import Kind, ListKind
from catalog.sheets.sheet import Sheet
from catalog.workbook.storage import Table
from fitment.errors import BadParameters
from fitment.services.catalogue.rows import row_save
from fitment.sheets import SHEETS

LONGEST = 10_000  # signs of one text


class ListEndpoint(ReadEndpoint):
    """A list of rows in a unique order, page by page."""

    resource: ClassVar[Resource]

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        if "resource" in vars(cls):
            resource, sheet = cls.resource, cls.resource.sheet.name
            cls.parameters = (*(one.parameter for one in resource.all_filters), *PAGING)
            cls.minimum_roles, cls.counted = {"GET": resource.minimum_role}, resource.counted
            cls.answers = {"GET": resource.row.page(f"{sheet.title().replace('_', '')}Page", sheet)}

    def read(self, request: Request, **keys: str) -> tuple[QuerySet[Any], PageRequest]:
        errors, resource = Errors(), self.resource
        values = checked(request.GET, self.parameters, errors)
        rows = resource.filter_set(values, resource.visible(self.role), self.role).narrowed(errors)
        page = read_page(values, resource.order_kinds or [str] * len(self.order), errors)
        rows = resource.row.query(resource.together(rows, values, self.role), self.role)
        return rows, page

    def compute(self, asked: tuple[QuerySet[Any], PageRequest]) -> Mapping[str, Any]:
        rows, wanted = asked
        page = page_of_query(rows, self.order, wanted)
        written = [self.resource.row.write(row, self.role) for row in page.rows]
        return {"results": written, **links(page, self.request)}

    @property
    def order(self) -> list[str]:
        return list(self.resource.order or self.resource.keys.values())


class DetailEndpoint(ReadEndpoint):
    """One row under its key, with the rows inside it."""

    resource: ClassVar[Resource]

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        cls.minimum_roles = {"GET": cls.resource.minimum_role}
        cls.answers = {"GET": cls.resource.whole.alone(f"{cls.resource.whole.name}Alone")}

    def read(self, request: Request, **keys: str) -> Model:
        checked(request.GET, ())
        what, key = self.resource.name.lower(), " ".join(keys.values())
        if control_sign(key):
            raise NotFound(what, "")
        rows = self.resource.whole.query(self.resource.visible(self.role), self.role)
        found: Model | None = rows.filter(**{self.resource.keys[name]: value for name, value in keys.items()}).first()
        if found is None:
            raise NotFound(what, key)
        return found

    def compute(self, asked: Model) -> Mapping[str, Any]:
        return self.resource.whole.write(asked, self.role)


class EvidenceEndpoint(ListEndpoint):
    """A list that can be added to: a POST adds or changes one row by its key, checked like a workbook row."""

    created = True

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        row, name = cls.resource.row, cls.resource.name
        cls.minimum_roles = {**cls.minimum_roles, "POST": cls.resource.sheet.writer}
        cls.answers = {**cls.answers, "POST": row.alone(f"{name}Saved")}
        cls.takes = row.body(f"{name}Body")

    def post(self, request: Request) -> HttpResponse:
        resource, sheet = self.resource, self.resource.sheet
        values = read_row(request.data, sheet)
        try:
            created, row = row_save(sheet=sheet.name, values=values, actor=request.user, role=self.role)
        except BadParameters as error:
            raise bad_body(error.errors) from error
        saved = Table(sheet, SHEETS).filter({name: row[name] for name in resource.keys})
        found = resource.row.query(resource.visible(self.role), self.role).get(saved)
        return self.reply(resource.row.write(found, self.role), status=201 if created else 200)


def read_row(body: Any, sheet: Sheet) -> dict[str, Any]:
    """The columns of one row; raises the 400 problem where a value is of no kind that its cell has."""
    if not isinstance(body, dict):
        raise bad_body([("body", "is not an object with the columns of a row")])
    refuse_vins(body)
    kinds = {column.name: column.kind for column in sheet.columns}
    errors = [(name, fault) for name, value in body.items() if (fault := _fault(value, kinds.get(name)))]
    if errors:
        raise bad_body(errors)
    return body


def _fault(value: Any, kind: Kind | None) -> str | None:
    if isinstance(value, list):
        if kind is not None and not isinstance(kind, ListKind):
            return "is one value, not a list"
        # A cell holds its items separated by spaces: one with a space inside would count as two.
        alone = all(isinstance(item, str) and item.split() == [item] for item in value)
        return None if alone else "is not a list of texts without spaces"
    if isinstance(value, str):
        return None if len(value) <= LONGEST else f"is longer than {LONGEST} signs"
    if isinstance(value, bool):
        return None if kind is None or kind.takes_booleans else "is a boolean; this is no yes or no"
    if isinstance(value, int | float):
        return None if abs(value) < 1e15 else "is larger than any figure here"
    return None if value is None else "is not a text, a number, a boolean or a list"
