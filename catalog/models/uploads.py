"""Workbooks that editors hand in: the file, how far its check has come, and what it found."""

import uuid

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from catalog.codes import UploadState
from catalog.models.constraints import filled, flat, not_negative, one_of
from catalog.models.fields import Text

AT_WORK = (UploadState.WAITING, UploadState.CHECKING, UploadState.LOADING)


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
        return self.state in AT_WORK
