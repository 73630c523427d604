"""Connections that are cut at an upload: the catalogue is whole, and the work is done again."""

from contextlib import suppress

import psycopg
import pytest
from django.db import connection

from catalog.models import Edition, Upload
from fitment.services.catalogue import uploads
from tests.fitment.interruptions.conftest import Dump, a_minute_later, dump, left_in_queue, work_off
from tests.fitment.interruptions.stages import CHECK_STAGES, COMPARED, LOAD_STAGES, WRITTEN, staged

pytestmark = pytest.mark.django_db(transaction=True)
LOAD = uploads.catalogue_load


def end_connections(pids: list[int] | None) -> None:
    """Ends some connections of the database, or all, as when it is stopped."""
    at = connection.settings_dict
    wanted = {"host": at["HOST"], "user": at["USER"], "password": at["PASSWORD"], "port": at["PORT"] or None}
    with psycopg.connect(dbname=at["NAME"], autocommit=True, **wanted) as other:
        other.execute(
            "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity WHERE datname = current_database() "
            "AND pid <> pg_backend_pid() AND backend_type = 'client backend' AND pid = ANY(coalesce(%s, ARRAY[pid]))",
            [pids],
        )


def own_pid() -> int:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        return int(cursor.fetchone()[0])


@pytest.fixture
def cut_at(monkeypatch):
    """Has a worker work off what is queued; once, when it comes to a stage, connections are cut.

    The connection of the work itself, or with `everything` also those of the queue, of progress and of everybody else.
    """

    def work(stage: str, *, everything: bool = False) -> None:
        cut = []

        def at(come_to: str) -> None:
            if come_to == stage and not cut:
                cut.append(stage)
                end_connections(None if everything else [own_pid()])

        monkeypatch.setattr(uploads, "catalogue_load", staged(LOAD, at))
        with suppress(Exception):  # the worker may end with its connections
            work_off()
        connection.close()
        assert cut
        monkeypatch.setattr(uploads, "catalogue_load", LOAD)

    return work


@pytest.mark.parametrize(("stage", "everything"), [*((stage, False) for stage in CHECK_STAGES), (COMPARED, True)])
def test_cut_at_a_check(stage: str, everything: bool, before: Dump, waiting: Upload, cut_at):
    cut_at(stage, everything=everything)
    assert dump() == before
    a_minute_later()
    waiting.refresh_from_db()
    assert (waiting.state, waiting.edition_checked) == ("checked", 1)
    assert dump() == before
    assert left_in_queue() == []


@pytest.mark.parametrize(("stage", "everything"), [*((stage, False) for stage in LOAD_STAGES), (WRITTEN, True)])
def test_cut_at_a_load(stage: str, everything: bool, before: Dump, asked: Upload, cut_at):
    cut_at(stage, everything=everything)
    asked.refresh_from_db()
    assert asked.state in ("loading", "loaded")
    assert (dump() == before) is (asked.state == "loading")
    a_minute_later()
    asked.refresh_from_db()
    assert (asked.state, asked.edition_loaded) == ("loaded", 2)
    assert list(Edition.objects.order_by("number").values_list("number", flat=True)) == [1, 2]
    assert left_in_queue() == []
