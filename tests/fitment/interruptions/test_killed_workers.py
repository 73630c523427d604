"""Workers that are killed at an upload: the catalogue is whole, and the work is done all the same."""

import signal

import pytest

from catalog.models import Catalogue, Edition, Upload
from tests.fitment.interruptions.conftest import Dump, a_minute_later, dump, left_in_queue, waiting_worker
from tests.fitment.interruptions.stages import CHECK_STAGES, LOAD_STAGES, OVER

pytestmark = pytest.mark.django_db(transaction=True)


def kill_at(stage: str) -> None:
    with waiting_worker(stage) as worker:
        worker.kill()
        assert worker.wait(30) == -signal.SIGKILL


@pytest.mark.parametrize("stage", CHECK_STAGES)
def test_killed_at_a_check(stage: str, before: Dump, waiting: Upload):
    kill_at(stage)
    assert dump() == before
    waiting.refresh_from_db()
    assert waiting.state == "checking"
    assert left_in_queue() == [("upload_check", "doing")]
    a_minute_later()
    waiting.refresh_from_db()
    assert (waiting.state, waiting.edition_checked) == ("checked", 1)
    assert waiting.report["counts"]["fit_decisions"]["removed"] == 1
    assert dump() == before
    assert left_in_queue() == []


@pytest.mark.parametrize("stage", LOAD_STAGES)
def test_killed_at_a_load(stage: str, before: Dump, asked: Upload):
    kill_at(stage)
    asked.refresh_from_db()
    if stage == OVER:
        assert asked.state == "loaded"
        assert dump() != before
    else:
        assert asked.state == "loading"
        assert dump() == before
        assert Catalogue.objects.get().edition == 1
    a_minute_later()
    asked.refresh_from_db()
    assert (asked.state, asked.edition_loaded) == ("loaded", 2)
    assert dump() != before
    assert list(Edition.objects.order_by("number").values_list("number", flat=True)) == [1, 2]
    assert left_in_queue() == []
