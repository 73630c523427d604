"""What changed the catalogue, and the workbooks handed in for it."""

from uuid import UUID

from django.db.models import QuerySet

from catalog.models import AnswerChange, Change, Edition, MinutesChange, Upload


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
