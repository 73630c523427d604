"""The whole server stopped at once in the midst of an upload: it recovers, and the work is done after all."""

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings

from config.embedded import server
from config.embedded.server import is_held
from tests.catalog.workbook.small import small, write
from tests.fitment.interruptions.conftest import waiting_worker
from tests.fitment.interruptions.stages import COMPARED, WRITTEN

SECONDS = 120.0
SETUP = """
import json, sys
import django
django.setup()
from catalog.models import Upload
from fitment.services.catalogue.uploads import upload_load_ask, upload_take
from tests.fitment.interruptions.conftest import a_minute_later, changed_book, dump
"""
HAND_IN = "upload_take(name='book.zip', content=changed_book(), replace=False, force=False, actor=None)"
ASK = "upload_load_ask(upload_id=Upload.objects.get().pk)"
LATER = "a_minute_later()"
TELL = """
upload = Upload.objects.get()
whole = {name: text.decode() for name, text in dump().items()}
json.dump([upload.state, upload.edition_checked, upload.edition_loaded, whole], sys.stdout)
"""


@pytest.fixture
def data_dir(tmp_path: Path) -> Iterator[Path]:
    """An installation of its own with the small catalogue; its path is short, as a socket's name is limited."""
    folder = Path(tempfile.mkdtemp(prefix="jb-"))
    manage(folder, "migrate", "--verbosity", "0")
    manage(folder, "load_catalogue", str(write(tmp_path / "small", small())))
    yield folder
    wait_until(lambda: not is_held(folder / "keeper.lock"))
    shutil.rmtree(folder)


def environment(data_dir: Path) -> dict[str, str]:
    ours = {"DATA_DIR": str(data_dir), "DJANGO_SETTINGS_MODULE": "config.settings", "LOG_LEVEL": "ERROR"}
    return {name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | ours


def manage(data_dir: Path, *words: str) -> None:
    call = [sys.executable, "manage.py", *words]
    subprocess.run(call, cwd=settings.ROOT, env=environment(data_dir), check=True, timeout=SECONDS, capture_output=True)


def inside(data_dir: Path, *work: str) -> Any:
    """Does some work in a process of that installation, and tells how the upload and the catalogue stand then."""
    code = "\n".join((SETUP, *work, TELL))
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=settings.ROOT, env=environment(data_dir), timeout=SECONDS, capture_output=True
    )
    assert done.returncode == 0, done.stderr.decode()
    return json.loads(done.stdout.splitlines()[-1])  # after what the log says


def wait_until(condition: Callable[[], bool]) -> None:
    deadline = time.monotonic() + SECONDS
    while not condition():
        assert time.monotonic() < deadline
        time.sleep(0.05)


def stopped_at(data_dir: Path, stage: str) -> None:
    """Stops the server without any tidying up when a worker comes to a stage; the worker goes on, as far as it can."""
    with waiting_worker(stage, environment(data_dir)) as worker:
        pid = int((server.data_folder(data_dir) / "postmaster.pid").read_text().split()[0])
        os.kill(pid, signal.SIGQUIT)  # "immediate": nothing is written, the log is read again at the start
        wait_until(lambda: not is_held(data_dir / "keeper.lock"))
        worker.stdin.write("go on\n")
        worker.stdin.flush()
        time.sleep(1)


def test_stopped_at_a_check_and_at_a_load(data_dir: Path):
    *_, before = inside(data_dir, HAND_IN)
    stopped_at(data_dir, COMPARED)
    assert inside(data_dir) in (["checking", None, None, before], ["checked", 1, None, before])
    assert inside(data_dir, LATER) == ["checked", 1, None, before]
    inside(data_dir, ASK)
    stopped_at(data_dir, WRITTEN)
    state, _, loaded, then = inside(data_dir)
    assert (state, loaded) in (("loading", None), ("loaded", 2))
    assert (then == before) is (state == "loading")
    *upload, after = inside(data_dir, LATER)
    assert upload == ["loaded", 1, 2]
    assert after != before
    assert after["catalogue.csv"] == before["catalogue.csv"].replace(",1,", ",2,")
