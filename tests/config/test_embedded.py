"""The private server: shared by its users, gone after the last of them, however that one ended."""

import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from django.conf import settings

from config.embedded import server
from config.embedded.server import is_held

HOLD = "import sys, pathlib; from config.embedded import server; server.hold(pathlib.Path(sys.argv[1])); "
WAIT = HOLD + "print('held', flush=True); sys.stdin.read()"


@pytest.fixture
def data_dir():
    """A short path (a socket's name is limited), removed when its server is gone."""
    folder = Path(tempfile.mkdtemp(prefix="jb-"))
    yield folder
    deadline = time.monotonic() + 20
    while (folder / "keeper.lock").exists() and is_held(folder / "keeper.lock") and time.monotonic() < deadline:
        time.sleep(0.1)
    shutil.rmtree(folder)


def user_of(data_dir, code=WAIT, python=sys.executable, **more):
    process = subprocess.Popen(
        [python, "-c", code, str(data_dir)],
        cwd=settings.ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, **more,
    )  # fmt: skip
    assert process.stdout.readline() == "held\n"
    return process


def postmaster(data_dir):
    return int((data_dir / "postgres" / "postmaster.pid").read_text().split("\n")[0])


def is_running(pid):
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def gone_within(pid, seconds=10.0):
    deadline = time.monotonic() + seconds
    while is_running(pid) and time.monotonic() < deadline:
        time.sleep(0.05)
    return not is_running(pid)


def finish(process):
    process.stdin.close()
    process.wait()
    process.stdout.close()


def test_two_processes_share_one_server_and_the_last_one_out_ends_it(data_dir):
    first, second = user_of(data_dir), user_of(data_dir)
    pid = postmaster(data_dir)
    finish(first)
    time.sleep(0.6)
    assert is_running(pid)
    finish(second)
    assert gone_within(pid)


def test_many_that_start_at_once_get_one_server(data_dir):
    code = "print('held', flush=True); " + WAIT.replace("print('held', flush=True); ", "print('up', flush=True); ")
    users = [user_of(data_dir, code) for _ in range(6)]
    assert [user.stdout.readline() for user in users] == ["up\n"] * 6
    log = (data_dir / "postgres.log").read_text()
    assert log.count("ready to accept connections") == 1
    pid = postmaster(data_dir)
    for user in users:
        finish(user)
    assert gone_within(pid)


def test_a_killed_user_leaves_nothing_behind(data_dir):
    user = user_of(data_dir)
    pid = postmaster(data_dir)
    user.kill()
    finish(user)
    assert gone_within(pid)


def test_a_server_whose_keeper_was_killed_is_taken_over(data_dir):
    user = user_of(data_dir)
    pid = postmaster(data_dir)
    parent = int(Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[1])
    os.kill(parent, signal.SIGKILL)
    finish(user)
    assert is_running(pid)
    again = user_of(data_dir)
    new = postmaster(data_dir)
    assert not is_running(pid) or new == pid
    finish(again)
    assert gone_within(new)


def test_data_outlives_the_server(data_dir):
    query = HOLD + (
        "import psycopg; host = str(server.socket_folder(pathlib.Path(sys.argv[1]))); "
        "c = psycopg.connect(host=host, user='jointbook', dbname='jointbook', autocommit=True); "
        "print('held', flush=True); print(c.execute(sys.argv[2]).statusmessage); c.close()"
    )
    for statement in ("CREATE TABLE kept (x int)", "INSERT INTO kept VALUES (1)"):
        done = subprocess.run(
            [sys.executable, "-c", query, str(data_dir), statement],
            cwd=settings.ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        assert "held" in done.stdout
    assert "INSERT 0 1" in done.stdout


def test_a_long_path_has_its_socket_elsewhere(tmp_path):
    deep = tmp_path / ("x" * 100)
    assert len(str(server.socket_folder(deep))) <= server.SOCKET_LENGTH
    assert server.socket_folder(deep) != server.socket_folder(deep / "y")
    assert server.socket_folder(Path("/srv/data")) == Path("/srv/data/socket")


def test_a_server_that_cannot_start_says_where_its_log_is(data_dir):
    (data_dir / "postgres").mkdir()
    (data_dir / "postgres" / "PG_VERSION").write_text("12\n")
    failed = subprocess.run(
        [sys.executable, "-c", HOLD, str(data_dir)], cwd=settings.ROOT, capture_output=True, text=True, timeout=90
    )
    assert failed.returncode != 0
    assert f"its log is {data_dir / 'postgres.log'}" in failed.stderr


def python_for(account):
    """An interpreter of our version that the account may run (root's own may lie in root's home)."""
    for python in (sys.executable, f"/usr/bin/python3.{sys.version_info.minor}"):
        try:
            subprocess.run([python, "-c", ""], **account, cwd="/", check=True)
        except (PermissionError, FileNotFoundError):
            continue
        return python
    return None


@pytest.mark.skipif(os.geteuid() != 0, reason="an ordinary user runs every other test here as itself")
def test_it_runs_for_an_ordinary_user_too(data_dir):
    nobody = pwd.getpwnam("nobody")
    account = {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}
    os.chown(data_dir, nobody.pw_uid, nobody.pw_gid)
    python = python_for(account)
    if python is None:
        pytest.skip("no interpreter here that an ordinary user may run")
    packages = next(path for path in sys.path if path.endswith("site-packages"))
    user = user_of(data_dir, python=python, env=os.environ | {"PYTHONPATH": packages}, **account)
    pid = postmaster(data_dir)
    assert Path(f"/proc/{pid}").stat().st_uid == nobody.pw_uid
    finish(user)
    assert gone_within(pid)


def test_it_listens_on_no_network(db):
    from django.db import connection

    if connection.settings_dict["ENGINE"] != "config.backend":
        pytest.skip("the tests run on a server of DATABASE_URL")
    with connection.cursor() as cursor:
        cursor.execute("SHOW listen_addresses")
        assert cursor.fetchone() == ("",)
