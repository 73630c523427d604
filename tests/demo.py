"""The demo catalogue for the tests of one module."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.conf import settings
from django.db import transaction

from catalog.workbook.reading import Source
from fitment.services.catalogue.loading import catalogue_load

DEMO = settings.ROOT / "fixtures" / "demo"


@contextmanager
def demo_loaded(django_db_blocker: Any) -> Iterator[None]:
    """The demo, loaded once and taken back at the end."""
    with django_db_blocker.unblock(), transaction.atomic():
        report = catalogue_load(source=Source.of_path(DEMO))
        assert not report.refused, report.lines(most=5)[:20]
        yield
        transaction.set_rollback(True)
