"""Holding the private server: started by its first user, shared by all, gone after the last."""

import fcntl
import hashlib
import os
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
from psycopg import sql

NAME = USER = "jointbook"
START_SECONDS = 60.0
STOP_SECONDS = 30.0
SOCKET_LENGTH = 90  # a socket's path has room for 107 signs (unix(7)); ".s.PGSQL.5432" takes 14

_held: dict[Path, int] = {}
_guard = threading.Lock()


class ServerFailed(RuntimeError):
    """The private server did not start; the message says where its log is."""


def open_lock(path: Path) -> int:
    """A descriptor to lock; child programs do not inherit it, forked copies of the process do."""
    return os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)


@contextmanager
def exclusive(path: Path) -> Iterator[None]:
    """Waits until no other process holds the lock in any way, and keeps all out for the block."""
    descriptor = open_lock(path)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX)
        yield
    finally:
        os.close(descriptor)


def is_held(path: Path) -> bool:
    """Whether some other process holds the lock in any way."""
    descriptor = open_lock(path)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    finally:
        os.close(descriptor)
    return False


def data_folder(data_dir: Path) -> Path:
    return data_dir.absolute() / "postgres"


def log_file(data_dir: Path) -> Path:
    return data_dir.absolute() / "postgres.log"


def socket_folder(data_dir: Path) -> Path:
    """Where the server listens: beside its data, or in the temporary folder where that path is too long."""
    folder = data_dir.absolute() / "socket"
    if len(str(folder)) <= SOCKET_LENGTH:
        return folder
    digest = hashlib.sha256(str(folder).encode()).hexdigest()[:12]
    return Path(tempfile.gettempdir()) / f"jointbook-{digest}"


def hold(data_dir: Path) -> None:
    """Has the server running and keeps it so until this process ends or lets go.

    Raises `ServerFailed` when it does not answer within a minute.
    """
    data_dir = data_dir.absolute()
    with _guard:
        if data_dir in _held and is_held(data_dir / "keeper.lock"):
            return
        data_dir.mkdir(parents=True, exist_ok=True)
        if data_dir not in _held:
            user = open_lock(data_dir / "users.lock")
            fcntl.flock(user, fcntl.LOCK_SH)  # waits while a keeper is just stopping the server
            _held[data_dir] = user
        with exclusive(data_dir / "start.lock"):
            if not is_held(data_dir / "keeper.lock"):
                _start_keeper(data_dir)
            _wait_until_ready(data_dir)


def let_go(data_dir: Path, *, wait: bool = False) -> None:
    """Ends this process's hold; with `wait`, returns when the server is gone or others still hold it."""
    data_dir = data_dir.absolute()
    with _guard:
        descriptor = _held.pop(data_dir, None)
    if descriptor is not None:
        os.close(descriptor)
    deadline = time.monotonic() + STOP_SECONDS
    while wait and is_held(data_dir / "keeper.lock") and time.monotonic() < deadline:
        if _has_users(data_dir):
            return
        time.sleep(0.05)


def _has_users(data_dir: Path) -> bool:
    """Whether a process other than the keeper holds the server: only then is the shared lock free to share."""
    descriptor = open_lock(data_dir / "users.lock")
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except BlockingIOError:
            return False  # the keeper has it for itself: it is stopping
        return True
    finally:
        os.close(descriptor)
    return False


def _start_keeper(data_dir: Path) -> None:
    root = Path(__file__).resolve().parents[2]
    log = log_file(data_dir)
    with log.open("ab") as output:
        # A session of its own: Ctrl-C in the terminal ends the program first, the server after it.
        keeper = subprocess.Popen(
            [sys.executable, "-m", "config.embedded.keeper", str(data_dir)],
            cwd=root,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=output,
            start_new_session=True,
        )
    deadline = time.monotonic() + START_SECONDS
    while not is_held(data_dir / "keeper.lock"):
        if keeper.poll() is not None or time.monotonic() > deadline:
            raise ServerFailed(f"the private PostgreSQL server did not start; its log is {log}")
        time.sleep(0.01)
    # A child that ends before its parent would stay as a zombie until somebody asks for its result.
    threading.Thread(target=keeper.wait, daemon=True).start()


def _wait_until_ready(data_dir: Path) -> None:
    deadline = time.monotonic() + START_SECONDS
    host = str(socket_folder(data_dir))
    while True:
        try:
            with psycopg.connect(host=host, user=USER, dbname="postgres", autocommit=True) as connection:
                found = connection.execute("SELECT 1 FROM pg_database WHERE datname = %s", [NAME]).fetchone()
                if not found:
                    connection.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(NAME)))
                return
        except psycopg.OperationalError as error:
            if time.monotonic() > deadline or not is_held(data_dir / "keeper.lock"):
                message = f"the private PostgreSQL server does not answer; its log is {log_file(data_dir)}"
                raise ServerFailed(message) from error
            time.sleep(0.03)
