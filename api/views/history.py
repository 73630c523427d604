"""`catalogue/changes/`: what changed since an edition, by whom, and which answers."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from heapq import merge
from typing import Annotated, Any, Literal

from django.db.models import Q, QuerySet
from rest_framework.request import Request

from api.codec import encode
from api.endpoint import ReadEndpoint
from api.pagination import Cursor, PageRequest, links, page_of_rows, read_page
from api.parameters import PAGING, Errors, Parameter, checked, whole
from api.schema import Answered
from catalog.codes import ChangeAction, Role
from catalog.models import AnswerChange, Change
from fitment.answers.contract import NOT_ASKED, NotAsked, Plain
from fitment.sheets import SHEETS

ROW, ANSWER = 0, 1  # of one edition, the rows that changed come first
KEY_KINDS = (int, int, int)
AT_A_TIME = 500
History = Change | AnswerChange
Values = Annotated[dict[str, Any] | None, Plain(dict[str, str | float | bool | list[str] | None])]
"""The columns of a row, or the verdict, revision and basis of an answer."""


@dataclass(frozen=True, slots=True)
class CatalogueChange:
    """A row or an answer that an edition changed."""

    edition: int
    made_at: datetime
    by: str
    source: str
    kind: Literal["row", "answer"]
    before: Values
    after: Values
    sheet: str | NotAsked = NOT_ASKED
    key: str | NotAsked = NOT_ASKED
    action: ChangeAction | NotAsked = NOT_ASKED
    axle: str | NotAsked | None = NOT_ASKED
    end: str | NotAsked | None = NOT_ASKED
    location: str | NotAsked | None = NOT_ASKED
    part: str | NotAsked = NOT_ASKED
    variants: tuple[str, ...] | NotAsked = NOT_ASKED
    in_operation: int | NotAsked = NOT_ASKED


class CatalogueChanges(ReadEndpoint):
    """What changed since an edition: rows, each cut to what the role may see, and answers."""

    minimum_roles = {"GET": Role.SALES}
    parameters = (Parameter("since", "The edition after which to begin.", kind="integer", minimum=0), *PAGING)
    answers = {"GET": Answered(CatalogueChange, paged=True)}

    def read(self, request: Request, **keys: str) -> tuple[int, PageRequest]:
        errors = Errors()
        values = checked(request.GET, self.parameters, errors)
        page = read_page(values, KEY_KINDS, errors)
        return whole(values, "since", 0), page

    def compute(self, asked: tuple[int, PageRequest]) -> Mapping[str, Any]:
        since, wanted = asked
        page = page_of_rows(_seen(_history(since, wanted.cursor), self.role), _key, wanted)
        results = [encode(_written(row, self.role), self.role) for row in page.rows]
        return {"results": results, **links(page, self.request)}


def _history(since: int, cursor: Cursor | None) -> Iterable[History]:
    """Changed rows and changed answers in the order of their keys, from the cursor on."""
    backwards = cursor is not None and cursor.backwards
    kinds: list[tuple[int, QuerySet[Any]]] = [(ROW, Change.objects.all()), (ANSWER, AnswerChange.objects.all())]
    streams = []
    for kind, rows in kinds:
        found = rows.filter(edition__number__gt=since).select_related("edition")
        if cursor is not None:
            found = found.filter(_beyond(kind, cursor))
        sign = "-" if backwards else ""
        ordered = found.order_by(f"{sign}edition__number", f"{sign}pk")
        streams.append(ordered.iterator(chunk_size=AT_A_TIME))
    return merge(*streams, key=_key, reverse=backwards)


def _beyond(kind: int, cursor: Cursor) -> Q:
    edition, at_kind, row = (int(part) for part in cursor.key)
    comparison = "lt" if cursor.backwards else "gt"
    beyond = Q(**{f"edition__number__{comparison}": edition})
    if kind == at_kind:
        beyond |= Q(**{"edition__number": edition, f"pk__{comparison}": row})
    elif (kind < at_kind) == cursor.backwards:
        beyond |= Q(edition__number=edition)
    return beyond


def _key(row: History) -> tuple[int, int, int]:
    return row.edition.number, ROW if isinstance(row, Change) else ANSWER, row.pk


def _seen(rows: Iterable[History], role: Role) -> Iterator[History]:
    """Without rows in which the role would see no change."""
    for row in rows:
        if isinstance(row, Change) and cut(row.sheet, row.before, role) == cut(row.sheet, row.after, role):
            continue
        yield row


def cut(sheet: str, values: Mapping[str, Any] | None, role: Role) -> dict[str, Any] | None:
    """The columns of a row of the workbook that the role sees; None where there was no row, or it sees none."""
    if values is None:
        return None
    columns = SHEETS[sheet].seen_by(role) if sheet in SHEETS else ()
    return {name: value for name, value in values.items() if name in columns} or None


def _written(row: History, role: Role) -> CatalogueChange:
    edition = row.edition
    about = (edition.number, edition.made_at, edition.actor_name, edition.source)
    if isinstance(row, Change):
        before, after = cut(row.sheet, row.before, role), cut(row.sheet, row.after, role)
        action = ChangeAction(row.action)
        return CatalogueChange(*about, "row", before, after, sheet=row.sheet, key=row.row_key, action=action)
    return CatalogueChange(
        *about,
        "answer",
        row.before,
        row.after,
        axle=row.axle or None,
        end=row.end or None,
        location=row.location or None,
        part=row.part,
        variants=tuple(row.variants),
        in_operation=row.in_operation,
    )
