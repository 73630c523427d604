"""Workbooks that the worker writes to be taken away, since they take longer than a page may."""

import uuid

from django.conf import settings
from django.db import models

from catalog.codes import DownloadState, WorkbookFormat
from catalog.models.constraints import filled, flat, not_negative, one_of
from catalog.models.fields import Text

AT_WORK = (DownloadState.WAITING, DownloadState.WRITING)


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
        return self.state in AT_WORK
