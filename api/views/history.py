"""`catalogue/changes/`: what changed since an edition, by whom, and which answers."""

from collections.abc import Iterable, Iterator, Mapping
from heapq import merge
from typing import Any

from django.db.models import Q, QuerySet
from rest_framework import serializers
from rest_framework.request import Request

from api.endpoint import ReadEndpoint
from api.pagination import DEFAULT_SIZE, Cursor, links, page_of_rows, read_cursor
from api.parameters import CURSOR, PAGING, Errors, Parameter, checked, one, whole
from api.schema import paged
from catalog.codes import Role
from catalog.models import AnswerChange, Change
from fitment.sheets import SHEETS

ROW, ANSWER = 0, 1  # of one edition, the rows that changed come first
KEY_KINDS = (int, int, int)
AT_A_TIME = 500
History = Change | AnswerChange


class ChangeSerializer(serializers.Serializer[Any]):
    """A row or an answer that an edition changed."""

    edition = serializers.IntegerField()
    made_at = serializers.DateTimeField()
    by = serializers.CharField(allow_blank=True)
    source: Any = serializers.CharField(allow_blank=True)  # a member, not the option of a field
    kind = serializers.ChoiceField(["row", "answer"])
    before = serializers.DictField(allow_null=True)
    after = serializers.DictField(allow_null=True)
    sheet = serializers.CharField(required=False)
    key = serializers.CharField(required=False)
    action = serializers.ChoiceField(["added", "changed", "removed"], required=False)
    axle = serializers.CharField(required=False, allow_null=True)
    end = serializers.CharField(required=False, allow_null=True)
    location = serializers.CharField(required=False, allow_null=True)
    part = serializers.CharField(required=False)
    variants = serializers.ListField(child=serializers.CharField(), required=False)
    in_operation = serializers.IntegerField(required=False)


class CatalogueChanges(ReadEndpoint):
    """What changed since an edition: rows, each cut to what the role may see, and answers."""

    least = {"GET": Role.SALES}
    parameters = (Parameter("since", "The edition after which to begin.", kind="integer", least=0), *PAGING)
    answers = {"GET": paged(ChangeSerializer, "changes")}

    def read(self, request: Request, **keys: str) -> tuple[int, int, Cursor | None]:
        errors = Errors()
        values = checked(request.GET, self.parameters, errors)
        text = one(values, CURSOR.name)
        cursor = None if text is None else read_cursor(text, KEY_KINDS, errors)
        errors.stop()
        return whole(values, "since", 0), whole(values, "page_size", DEFAULT_SIZE), cursor

    def compute(self, asked: tuple[int, int, Cursor | None]) -> Mapping[str, Any]:
        since, size, cursor = asked
        page = page_of_rows(_seen(_history(since, cursor), self.role), _key, size, cursor)
        return {"results": [_written(row, self.role) for row in page.rows], **links(page, self.request)}


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


def _written(row: History, role: Role) -> dict[str, Any]:
    about = {
        "edition": row.edition.number,
        "made_at": row.edition.made_at,
        "by": row.edition.actor_name,
        "source": row.edition.source,
    }
    if isinstance(row, Change):
        return {
            **about,
            "kind": "row",
            "sheet": row.sheet,
            "key": row.row_key,
            "action": row.action,
            "before": cut(row.sheet, row.before, role),
            "after": cut(row.sheet, row.after, role),
        }
    return {
        **about,
        "kind": "answer",
        "axle": row.axle or None,
        "end": row.end or None,
        "location": row.location or None,
        "part": row.part,
        "before": row.before,
        "after": row.after,
        "variants": row.variants,
        "in_operation": row.in_operation,
    }
