"""Loads that are killed, cut off, or meet one another: the catalogue is whole before and after."""

import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.db import OperationalError, connection, connections, transaction

from catalog.models import Catalogue
from catalog.workbook.dumping import csv_files, dump
from catalog.workbook.editions import catalogue_lock
from catalog.workbook.errors import Busy
from catalog.workbook.reading import Source
from fitment.services.catalogue.loading import catalogue_load
from fitment.sheets import SHEETS
from tests.catalog.workbook.small import small, write
from tests.processes import with_this_database

pytestmark = pytest.mark.django_db(transaction=True)
STAGES = ("rows read", "rules checked", "answers compared", "rows written")
REFUSED = 1

KILLED_AT = """
import os, signal, sys
from pathlib import Path
import django
django.setup()
from catalog.workbook.reading import Source
from fitment.services.catalogue.loading import catalogue_load

def progress(stage, done, total):
    if stage == sys.argv[2]:
        os.kill(os.getpid(), signal.SIGKILL)

catalogue_load(source=Source.of_path(Path(sys.argv[1])), progress=progress)
"""


@pytest.fixture
def before(tmp_path: Path) -> dict[str, bytes]:
    """The small catalogue loaded, as it is dumped."""
    assert not catalogue_load(source=Source.of_path(write(tmp_path / "small", small()))).refused
    return dict(csv_files(SHEETS))


@pytest.fixture
def change(tmp_path: Path) -> Path:
    """A workbook that changes answers of the small catalogue."""
    sheets = small()
    del sheets["catalogue"], sheets["enquiries"]
    sheets["fit_decisions"][0]["decision"] = "rejected"
    sheets["makers"].append({"maker": "ORM", "title": "Orm", "wmi": ""})
    return write(tmp_path / "change", sheets)


@pytest.mark.parametrize("stage", STAGES)
def test_a_process_killed_at_any_stage_leaves_the_catalogue_as_it_was(before, change: Path, stage: str):
    script = [sys.executable, "-c", KILLED_AT, str(change), stage]
    done = subprocess.run(script, env=with_this_database(), capture_output=True, timeout=120)
    assert done.returncode == -signal.SIGKILL, done.stderr.decode()
    assert dict(csv_files(SHEETS)) == before
    report = catalogue_load(source=Source.of_path(change), wait=30)
    assert not report.refused, "the lock of the killed load stands"
    assert report.edition_after == 2


@pytest.mark.parametrize("stage", STAGES[1:])
def test_a_connection_cut_at_any_stage_leaves_the_catalogue_as_it_was(before, change: Path, stage: str):
    def cut(at: str, done: int, total: int) -> None:
        if at == stage:
            with connections["default"].cursor() as cursor:
                cursor.execute("SELECT pg_backend_pid()")
                (pid,) = cursor.fetchone()
            other = connections["default"].copy()
            with other.cursor() as cursor:
                cursor.execute("SELECT pg_terminate_backend(%s)", [pid])
            other.close()

    with pytest.raises(OperationalError):
        catalogue_load(source=Source.of_path(change), progress=cut)
    connection.close()
    assert dict(csv_files(SHEETS)) == before


@pytest.fixture
def another_load() -> Iterator[threading.Event]:
    """Holds the catalogue in another connection until the event is set."""
    held, done = threading.Event(), threading.Event()

    def hold() -> None:
        with transaction.atomic():
            catalogue_lock(wait=1)
            held.set()
            done.wait(30)
        connection.close()

    thread = threading.Thread(target=hold)
    thread.start()
    assert held.wait(10)
    yield done
    done.set()
    thread.join()


def test_a_second_load_waits_for_the_first(before, change: Path, another_load: threading.Event):
    threading.Timer(0.5, another_load.set).start()
    started = time.monotonic()
    assert catalogue_load(source=Source.of_path(change), wait=20).edition_after == 2
    assert time.monotonic() - started >= 0.4


def test_a_second_load_that_waits_too_long_says_so(before, change: Path, another_load: threading.Event):
    with pytest.raises(Busy, match="another load or edit is under way"):
        catalogue_load(source=Source.of_path(change), wait=0.3)
    assert dict(csv_files(SHEETS)) == before


def test_two_loads_at_once_both_count(before, change: Path, tmp_path: Path):
    other = write(tmp_path / "other", {"hazards": [{"hazard": "airbag", "title": "Airbag", "caution": "Wait."}]})
    reports = []

    def one(path: Path) -> None:
        reports.append(catalogue_load(source=Source.of_path(path)))
        connection.close()

    threads = [threading.Thread(target=one, args=(path,)) for path in (change, other)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(report.edition_after for report in reports) == [2, 3]
    assert Catalogue.objects.get().edition == 3


def test_a_dump_is_of_one_moment(before, tmp_path: Path, monkeypatch):
    """A load that commits while a dump runs is in no sheet of it."""
    from catalog.workbook import dumping

    original, reports = dumping.sorted_rows, []
    change = write(tmp_path / "meanwhile", {"makers": [{"maker": "ORM", "title": "Orm"}]})

    def meanwhile() -> None:
        reports.append(catalogue_load(source=Source.of_path(change)))
        connection.close()

    def slow(rows):
        if not reports:
            thread = threading.Thread(target=meanwhile)
            thread.start()
            thread.join()
        return original(rows)

    monkeypatch.setattr(dumping, "sorted_rows", slow)
    dump(tmp_path / "out", sheets=SHEETS)
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == before
    assert [report.edition_after for report in reports] == [2]
    assert dict(csv_files(SHEETS)) != before


class TestCommands:
    """The commands as programs: what they print and how they end."""

    def run(self, *words: object) -> subprocess.CompletedProcess[str]:
        call = [sys.executable, str(settings.ROOT / "manage.py"), *map(str, words)]
        return subprocess.run(call, env=with_this_database(), capture_output=True, text=True, timeout=120)

    def test_loaded_checked_and_refused(self, before, change: Path, tmp_path: Path):
        report = tmp_path / "report.json"
        checked = self.run("load_catalogue", change, "--check", "--report", report)
        assert checked.returncode == 0, checked.stderr
        assert "makers: 1 added, 0 changed, 1 unchanged, 0 removed" in checked.stdout
        assert "answers that change: " in checked.stdout
        assert "FX1 arm.inner LM-1: fits B fitted -> does_not_fit (1 variant, 900 cars in operation)" in checked.stdout
        assert '"does_not_fit"' in report.read_text()
        assert dict(csv_files(SHEETS)) == before
        loaded = self.run("load_catalogue", change)
        assert (loaded.returncode, "loaded: edition 2" in loaded.stdout) == (0, True)
        (change / "makers.csv").write_text("maker,title\nALVA,\nO RM,Orm\n")
        refused = self.run("load_catalogue", change)
        assert refused.returncode == REFUSED
        assert "makers, row 2, column title: the cell is empty; it must be filled" in refused.stdout
        assert "makers, row 3, column maker: 'O RM' is no code: a code holds no space" in refused.stdout
        assert "refused: 2 errors; nothing was stored" in refused.stdout

    @pytest.mark.parametrize("words", [[], ["nowhere"], ["nowhere", "--replase"]])
    def test_a_wrong_call(self, words: list[str]):
        done = self.run("load_catalogue", *words)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr

    def test_a_dump_that_cannot_be_written(self, tmp_path: Path):
        (tmp_path / "file").write_text("")
        done = self.run("dump_catalogue", tmp_path / "file" / "folder")
        assert done.returncode == 2
        assert "cannot be written" in done.stderr
        assert self.run("dump_catalogue").returncode == 2

    def test_a_dump_is_written(self, before, tmp_path: Path):
        assert self.run("dump_catalogue", tmp_path / "a.xlsx").returncode == 0
        assert (
            self.run("load_catalogue", tmp_path / "a.xlsx", "--replace")
            .stdout.splitlines()[-1]
            .startswith("nothing changes")
        )
