"""`catalogue/checks/`: a workbook handed in, checked by the worker, loaded exactly as it was checked."""

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any
from uuid import UUID

from django.http import HttpResponse
from rest_framework import serializers
from rest_framework.fields import DateTimeField
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request

from api.addresses import address
from api.codec import encode
from api.endpoint import Endpoint
from api.parameters import checked
from api.problems import NotFound, Problem, bad_body
from api.schema import Answered
from catalog.codes import Role, UploadState, YesNo
from catalog.models import Upload
from catalog.nearest import unknown
from catalog.workbook.cells import MOST_BYTES
from catalog.workbook.errors import RowError
from catalog.workbook.report import Reach
from fitment.answers.contract import Count, Plain
from fitment.services.catalogue.uploads import NotChecked, TooLarge, upload_load_ask, upload_take

FORM_ROOM = 100_000  # bytes of a form beside its file
WISHES = ("replace", "force")
FIELDS = ("file", *WISHES)
Moment = Annotated[datetime, Plain(datetime, DateTimeField().to_representation)]


class UploadForm(serializers.Serializer[Any]):
    """A form with the workbook."""

    file = serializers.FileField(help_text="An .xlsx file, or a zip of .csv files; at most 25 MB.")
    replace = serializers.ChoiceField(YesNo.values, required=False, help_text="The file is the whole catalogue.")
    force = serializers.ChoiceField(YesNo.values, required=False, help_text="Also over rows changed since.")


@dataclass(frozen=True, slots=True)
class UploadProgress:
    """How far the work has come; `total` 0: it is not known how much there is."""

    stage: str
    done: Count
    total: Count


@dataclass(frozen=True, slots=True)
class ReportedChange:
    """What changes alike for some variants: an answer's verdict, revision and basis, or a job's minutes."""

    axle: str
    end: str
    location: str
    part: str
    before: dict[str, str | None] | float | None
    after: dict[str, str | None] | float | None
    variants: tuple[str, ...]
    in_operation: int


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What a load would do; counts are by sheet, reach by `answers` and `minutes`."""

    source: str
    check: bool
    refused: bool
    edition_before: int
    edition_after: int
    counts: dict[str, dict[str, int]]
    errors: tuple[RowError, ...]
    warnings: tuple[RowError, ...]
    notes: tuple[str, ...]
    answers: tuple[ReportedChange, ...]
    minutes: tuple[ReportedChange, ...]
    reach: dict[str, Reach]


@dataclass(frozen=True, slots=True)
class UploadAnswer:
    """A workbook handed in. `report` is null until the check has ended."""

    id: UUID
    href: str
    name: str
    size: Count
    replace: bool
    force: bool
    state: UploadState
    progress: UploadProgress
    made_at: Moment
    made_by: str
    ended_at: Moment | None
    edition_checked: Annotated[
        int | None, "The edition that the report compares with, and from which it may be loaded."
    ]
    edition_loaded: int | None
    report: Annotated[dict[str, Any] | None, Plain(LoadReport), "Counts, errors, warnings, notes, answers, minutes."]
    load_href: Annotated[str | None, "Where to post to load exactly this; null where it cannot be loaded."]


SHAPE = Answered(UploadAnswer)


class Checks(Endpoint):
    """Hand in a workbook: 202, and where to follow its check."""

    minimum_roles = {"POST": Role.EDITOR}
    parser_classes = (MultiPartParser,)
    answers = {"POST": SHAPE}
    takes = UploadForm
    accepted = True

    def post(self, request: Request) -> HttpResponse:
        if int(request.headers.get("Content-Length") or 0) > MOST_BYTES + FORM_ROOM:
            raise Problem(413, f"{TooLarge()}.")
        files = [file for _, several in request.FILES.lists() for file in several]
        if len(files) != 1:
            raise bad_body([("file", f"is one .xlsx file or one zip of .csv files; {len(files)} were given")])
        errors = [(name, unknown("field", name, FIELDS)) for name in request.POST if name not in FIELDS]
        if errors:
            raise bad_body(errors)
        wishes = {name: _yes(request, name) for name in WISHES}
        (file,) = files
        try:
            upload = upload_take(name=file.name or "workbook", content=file.read(), actor=request.user, **wishes)
        except TooLarge as error:
            raise Problem(413, f"{error}.") from error
        return self.reply(
            written(upload), status=202, headers={"Location": address("catalogue", "checks", str(upload.pk))}
        )


class Check(Endpoint):
    """How far the check of a workbook has come, and its report."""

    minimum_roles = {"GET": Role.EDITOR}
    answers = {"GET": SHAPE}

    def get(self, request: Request, check: str) -> HttpResponse:
        checked(request.GET, ())
        return self.reply(written(_found(check)))


class CheckLoad(Endpoint):
    """Load exactly the file that was checked: 202; 409 with a fresh check where another edition was made since."""

    minimum_roles = {"POST": Role.EDITOR}
    answers = {"POST": SHAPE}
    accepted = True
    problems = (409,)

    def post(self, request: Request, check: str) -> HttpResponse:
        upload = _found(check)
        try:
            asked = upload_load_ask(upload_id=upload.pk)
        except NotChecked as error:
            raise Problem(409, f"{error}.", more={"state": upload.state}) from error
        if asked.fresh is not None:
            href = address("catalogue", "checks", str(asked.fresh.pk))
            detail = f"The catalogue has moved since edition {upload.edition_checked}, with which this was compared."
            more = {"state": UploadState.MOVED.value, "fresh": href}
            raise Problem(409, f"{detail} It is being checked anew.", more=more)
        return self.reply(
            written(asked.upload), status=202, headers={"Location": address("catalogue", "checks", check)}
        )


def _yes(request: Request, name: str) -> bool:
    given = request.POST.get(name, "no")
    if given not in YesNo.values:
        raise bad_body([(name, "is yes or no")])
    return bool(given == "yes")


def _found(key: str) -> Upload:
    try:
        return Upload.objects.defer("content").get(pk=UUID(key))
    except (ValueError, Upload.DoesNotExist):
        raise NotFound("check", key) from None


def written(upload: Upload) -> dict[str, Any]:
    """An upload as the API shows it."""
    href = address("catalogue", "checks", str(upload.pk))
    answer = UploadAnswer(
        id=upload.pk,
        href=href,
        name=upload.name,
        size=upload.size,
        replace=upload.replace,
        force=upload.force,
        state=UploadState(upload.state),
        progress=UploadProgress(upload.stage, upload.done, upload.total),
        made_at=upload.made_at,
        made_by=upload.actor_name,
        ended_at=upload.ended_at,
        edition_checked=upload.edition_checked,
        edition_loaded=upload.edition_loaded,
        report=upload.report,
        load_href=f"{href}load/" if upload.state == UploadState.CHECKED else None,
    )
    return dict(encode(answer, Role.EDITOR))
