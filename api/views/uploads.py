"""`catalogue/checks/`: a workbook handed in, checked by the worker, loaded exactly as it was checked."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request

from api.addresses import address
from api.endpoint import Endpoint
from api.parameters import checked
from api.problems import NotFound, Problem, bad_body
from api.schema import detailed
from api.serializers.uploads import UploadBodySerializer, UploadSerializer
from catalog.codes import Role, UploadState
from catalog.models import Upload
from catalog.nearest import unknown
from catalog.workbook.cells import MOST_BYTES
from fitment.services.catalogue.uploads import NotChecked, TooLarge, upload_load_ask, upload_take

FORM_ROOM = 100_000  # bytes of a form beside its file
WISHES = ("replace", "force")
FIELDS = ("file", *WISHES)
SHAPE = detailed(UploadSerializer, "Upload")


class Checks(Endpoint):
    """Hand in a workbook: 202, and where to follow its check."""

    least = {"POST": Role.EDITOR}
    parser_classes = (MultiPartParser,)
    answers = {"POST": SHAPE}
    takes = UploadBodySerializer
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

    least = {"GET": Role.EDITOR}
    answers = {"GET": SHAPE}

    def get(self, request: Request, check: str) -> HttpResponse:
        checked(request.GET, ())
        return self.reply(written(_found(check)))


class CheckLoad(Endpoint):
    """Load exactly the file that was checked: 202; 409 with a fresh check where another edition was made since."""

    least = {"POST": Role.EDITOR}
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
    if given not in ("yes", "no"):
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
    values = {
        "id": upload.pk, "href": href, "name": upload.name, "size": upload.size, "replace": upload.replace,
        "force": upload.force, "state": upload.state,
        "progress": {"stage": upload.stage, "done": upload.done, "total": upload.total},
        "made_at": upload.made_at, "made_by": upload.actor_name, "ended_at": upload.ended_at,
        "edition_checked": upload.edition_checked, "edition_loaded": upload.edition_loaded, "report": upload.report,
        "load_href": f"{href}load/" if upload.state == UploadState.CHECKED else None,
    }  # fmt: skip
    return dict(UploadSerializer(values).data)
