"""The process beside the private server: makes it, runs it, and stops it when nobody holds it any more.

Called as `python -m config.embedded.keeper DATA_DIR` by `config.embedded.server`.
"""

import fcntl
import os
import shutil
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from types import FrameType

from config.embedded import binaries
from config.embedded.server import USER, data_folder, open_lock, socket_folder

SETTINGS = {
    "listen_addresses": "",  # no network: the socket's folder is the only way in
    "jit": "off",  # questions are short; compiling them takes longer than answering
    "max_connections": "100",
    "shared_buffers": "128MB",
    "log_min_messages": "warning",
    # Statements and details carry values; those do not belong in a log.
    "log_min_error_statement": "panic",
    "log_error_verbosity": "terse",
}


class Ended(Exception):
    """The machine is shutting down, or somebody ended the keeper by hand."""


def main(data_dir: Path) -> int:
    keeper = open_lock(data_dir / "keeper.lock")
    if not _is_alone(keeper):
        return 1
    signal.signal(signal.SIGTERM, _end)
    users = open_lock(data_dir / "users.lock")
    server: subprocess.Popen[bytes] | None = None
    try:
        _stop_left_over(data_dir)
        _make(data_dir)
        server = _run(data_dir)
        _wait_for_last_user(users, server)
    except Ended:
        pass
    finally:
        if server is not None:
            _stop(server)
        # Before the users' lock, and not left to the end of the process, where the kernel settles the order:
        # whoever waits for that lock must find no keeper any more, or he takes a server that is gone for running.
        os.close(keeper)
    return 0


def _is_alone(keeper: int) -> bool:
    """Takes the keeper's lock; tries again for a moment, because others look at it by taking it briefly."""
    for _ in range(100):
        with suppress(BlockingIOError):
            fcntl.flock(keeper, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return True
        time.sleep(0.01)
    return False


def _end(number: int, frame: FrameType | None) -> None:
    raise Ended


def _make(data_dir: Path) -> None:
    """The folders and, the first time, an empty cluster; a half-made one is thrown away."""
    folder, sockets = data_folder(data_dir), socket_folder(data_dir)
    account = binaries.owner()
    sockets.mkdir(mode=0o700, exist_ok=True)
    if account is not None:
        binaries.open_the_way(folder)
        binaries.open_the_way(sockets)
        os.chown(sockets, account.pw_uid, account.pw_gid)
    if (folder / "PG_VERSION").exists():
        return
    if account is not None:
        binaries.open_the_way(binaries.directory() / "postgres")
        binaries.make_readable(binaries.directory().parent)
    half_made = folder.with_name("postgres.new")
    shutil.rmtree(half_made, ignore_errors=True)
    half_made.mkdir(mode=0o700)
    if account is not None:
        os.chown(half_made, account.pw_uid, account.pw_gid)
    # The C.UTF-8 of PostgreSQL itself: the same order on every machine, whatever locales it has.
    locale = ["--locale", "C", "--locale-provider", "builtin", "--builtin-locale", "C.UTF-8"]
    flags = [*locale, "--encoding", "UTF8", "--auth", "trust", "--no-instructions"]
    command = [binaries.directory() / "initdb", "--pgdata", half_made, "--username", USER, *flags]
    subprocess.run(command, check=True, cwd="/", **binaries.as_owner())  # type: ignore[call-overload]  # lost in a dict
    if folder.exists():
        folder.rmdir()
    half_made.rename(folder)


def _run(data_dir: Path) -> "subprocess.Popen[bytes]":
    options = [part for name, value in SETTINGS.items() for part in ("-c", f"{name}={value}")]
    command = [binaries.directory() / "postgres", "-D", data_folder(data_dir), "-k", socket_folder(data_dir), *options]
    server: subprocess.Popen[bytes] = subprocess.Popen(command, cwd="/", **binaries.as_owner())  # type: ignore[call-overload]  # lost in a dict
    return server


def _wait_for_last_user(users: int, server: "subprocess.Popen[bytes]") -> None:
    """Returns when no process holds the server, or when the server has ended by itself."""
    while server.poll() is None:
        with suppress(BlockingIOError):
            fcntl.flock(users, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        time.sleep(0.2)


def _stop(server: "subprocess.Popen[bytes]") -> None:
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    if server.poll() is None:
        server.send_signal(signal.SIGINT)  # "fast": ends connections, keeps the data (postgres(1))
        server.wait()


def _stop_left_over(data_dir: Path) -> None:
    """A server whose keeper was killed: stopped, so that the new one has a keeper again."""
    pid_file = data_folder(data_dir) / "postmaster.pid"
    with suppress(FileNotFoundError, ValueError, ProcessLookupError, IndexError):
        lines = pid_file.read_text().splitlines()
        pid, folder = int(lines[0]), lines[1]
        command = Path(f"/proc/{pid}/cmdline")
        if folder != str(data_folder(data_dir)) or (command.exists() and b"postgres" not in command.read_bytes()):
            return
        os.kill(pid, signal.SIGINT)
        for _ in range(300):
            os.kill(pid, 0)
            time.sleep(0.1)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
