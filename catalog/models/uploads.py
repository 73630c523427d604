"""Workbooks that editors hand in or take away, worked on by the queue: the file, how far the work is, what it found."""

import uuid

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from catalog.codes import DownloadState, UploadState, WorkbookFormat
from catalog.models.constraints import filled, flat, not_negative, one_of
from catalog.models.fields import Text

UPLOADS_AT_WORK = (UploadState.WAITING, UploadState.CHECKING, UploadState.LOADING)


class Upload(models.Model):
    """A workbook handed in. It stands in the database, so that a worker on any machine finds it.

    `stage`, `done` and `total` tell how far the work has come. `edition_checked` is the edition that the report
    compares with: only from there may the file be loaded.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = Text()
    size = models.PositiveIntegerField()
    content = models.BinaryField()
    replace = models.BooleanField(default=False)
    force = models.BooleanField(default=False)
    state = models.CharField(max_length=10, choices=UploadState.choices, default=UploadState.WAITING)
    stage = Text()
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    report = models.JSONField(null=True, encoder=DjangoJSONEncoder)
    edition_checked = models.PositiveIntegerField(null=True)
    edition_loaded = models.PositiveIntegerField(null=True)
    actor = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL)
    actor_name = Text()
    made_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [models.Index(fields=["-made_at"], name="catalog_upload_newest")]
        constraints = flat(filled("name", "state"), one_of("state", UploadState), not_negative("size"))

    def __str__(self) -> str:
        return f"{self.name} {self.state}"

    @property
    def is_at_work(self) -> bool:
        return self.state in UPLOADS_AT_WORK


DOWNLOADS_AT_WORK = (DownloadState.WAITING, DownloadState.WRITING)


class Download(models.Model):
    """A workbook to take away; it stands in the database, so that every web process of any machine has it.

    `edition`: as that edition left the catalogue; null: as it stands when it is written. `name` and `content` come
    with the end of the work, of which `stage`, `done` and `total` tell how far it has come.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    ending = models.CharField(max_length=4, choices=WorkbookFormat.choices)
    edition = models.PositiveIntegerField(null=True)
    name = Text()
    content = models.BinaryField(null=True)
    size = models.PositiveIntegerField(default=0)
    state = models.CharField(max_length=10, choices=DownloadState.choices, default=DownloadState.WAITING)
    stage = Text()
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    actor = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = flat(
            filled("ending", "state"),
            one_of("ending", WorkbookFormat),
            one_of("state", DownloadState),
            not_negative("size"),
        )

    def __str__(self) -> str:
        return f"{self.ending} {self.state}"

    @property
    def is_at_work(self) -> bool:
        return self.state in DOWNLOADS_AT_WORK
