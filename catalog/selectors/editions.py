"""Which catalogue this is, which edition it stands at, what changed it, and the workbooks handed in for it."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db import connections, router
from django.db.models import QuerySet

from catalog.models import AnswerChange, Catalogue, Change, Edition, MinutesChange, Upload

_STATE = "SELECT code, edition, as_of, enquiry_count, job_time_count FROM catalog_catalogue WHERE id = 1"


@dataclass(frozen=True, slots=True)
class CurrentCatalogue:
    """The catalogue's row: two equal states give equal answers to one question.

    Before the first load there is no row: an empty code at edition 0.
    """

    code: str = ""
    edition: int = 0
    as_of: date | None = None
    enquiry_count: int = 0
    job_time_count: int = 0


def current_catalogue() -> CurrentCatalogue:
    """The state now; one query, of one row."""
    # Every request asks this, most ask nothing else: as plain SQL it takes half the time.
    with connections[router.db_for_read(Catalogue)].cursor() as cursor:
        cursor.execute(_STATE)
        row = cursor.fetchone()
    return CurrentCatalogue(*row) if row else CurrentCatalogue()


def editions_newest_first() -> QuerySet[Edition]:
    return Edition.objects.order_by("-number")


def edition_of(number: int) -> Edition | None:
    return Edition.objects.filter(number=number).first()


def changes_of(edition: Edition, sheet: str = "") -> QuerySet[Change]:
    """The rows that an edition changed, in the order in which it wrote them; of one sheet where named."""
    rows = Change.objects.filter(edition=edition).order_by("pk")
    return rows.filter(sheet=sheet) if sheet else rows


def answer_changes_of(edition: Edition) -> QuerySet[AnswerChange]:
    return AnswerChange.objects.filter(edition=edition).order_by("axle", "end", "location", "part", "pk")


def minutes_changes_of(edition: Edition) -> QuerySet[MinutesChange]:
    return MinutesChange.objects.filter(edition=edition).order_by("axle", "end", "location", "part", "pk")


def row_history(sheet: str, key: str, *, since: int = 0) -> QuerySet[Change]:
    """What became of one row after an edition, the latest first; `key` as history writes it."""
    rows = Change.objects.filter(sheet=sheet, row_key=key, edition__number__gt=since)
    return rows.select_related("edition").order_by("-edition__number", "-pk")


def uploads_newest_first() -> QuerySet[Upload]:
    """Workbooks handed in, without the files and the reports."""
    return Upload.objects.defer("content", "report").order_by("-made_at")


def upload_of(pk: UUID) -> Upload | None:
    """A workbook handed in, without the file."""
    return Upload.objects.defer("content").filter(pk=pk).first()


def upload_after(upload: Upload) -> Upload | None:
    """The fresh check of the same file that took the place of one whose edition had moved."""
    later = uploads_newest_first().filter(made_at__gt=upload.made_at, name=upload.name, size=upload.size)
    return later.order_by("made_at").first()


def upload_that_made(edition: Edition) -> Upload | None:
    """The workbook whose load made an edition."""
    return Upload.objects.defer("content").filter(edition_loaded=edition.number).first()
