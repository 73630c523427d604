"""Starting the web and the worker, and ending them together."""

import ctypes
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType
from typing import NamedTuple

from django.conf import settings
from django.core.management.base import CommandError

GRACE_SECONDS = 15.0
_PR_SET_PDEATHSIG = 1  # prctl(2)
_PARENT = "JOINTBOOK_PARENT"


class Service(NamedTuple):
    name: str
    arguments: list[str]


class Stopped(Exception):
    """Ctrl-C, or a signal to end."""


def web(*, host: str, port: int, workers: int) -> Service:
    arguments = ["-m", "config.web", "--host", host, "--port", str(port), "--workers", str(workers)]
    return Service("web", arguments)


def worker() -> Service:
    return Service("worker", ["manage.py", "worker"])


def follow_parent() -> None:
    """Called by a service: asks the kernel to end it when its parent is killed without a chance to do so."""
    parent = os.environ.get(_PARENT)
    if parent is None:
        return
    with suppress(OSError, AttributeError):  # Linux only
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGTERM)
    if os.getppid() != int(parent):
        sys.exit("the parent process has ended")


def refuse_taken_port(host: str, port: int) -> None:
    """Raises `CommandError` when something listens there already."""
    with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise CommandError(
                f"port {port} on {host} cannot be used ({error.strerror}); choose another with --port"
            ) from None


@contextmanager
def running(services: list[Service], *, environment: dict[str, str]) -> Iterator[list["subprocess.Popen[bytes]"]]:
    """Has the services running during the block, and none of them after it, however it ends.

    A signal to end raises `Stopped` in the block.
    """
    _prepare_metrics(environment)
    previous = {number: signal.signal(number, _stop) for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)}
    children: list[subprocess.Popen[bytes]] = []
    try:
        for service in services:
            children.append(_start(service, environment))  # noqa: PERF401  # one by one: what started is ended below
        yield children
    finally:
        for number in previous:
            signal.signal(number, signal.SIG_IGN)  # already ending; a second Ctrl-C must not leave anything behind
        _end(children)
        for number, handler in previous.items():
            signal.signal(number, handler)


def wait_for_any(services: list[Service], children: list["subprocess.Popen[bytes]"]) -> Service:
    """Returns the first service that ends by itself, which none should."""
    while True:
        for service, child in zip(services, children, strict=True):
            if child.poll() is not None:
                return service
        time.sleep(0.3)


def _stop(number: int, frame: FrameType | None) -> None:
    raise Stopped


def _start(service: Service, environment: dict[str, str]) -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, *service.arguments],
        cwd=settings.ROOT,
        env=os.environ | environment | {_PARENT: str(os.getpid())},
        stdin=subprocess.DEVNULL,
        start_new_session=True,  # Ctrl-C comes to us alone; we end the services in order
    )


def _end(children: list["subprocess.Popen[bytes]"]) -> None:
    for child in children:
        with suppress(ProcessLookupError):
            child.terminate()
    deadline = time.monotonic() + GRACE_SECONDS
    for child in children:
        try:
            child.wait(max(0.1, deadline - time.monotonic()))
        except subprocess.TimeoutExpired:
            with suppress(ProcessLookupError):
                os.killpg(child.pid, signal.SIGKILL)
            child.wait()


def _prepare_metrics(environment: dict[str, str]) -> None:
    """Gives the web processes one folder for their counts, empty at the start."""
    if settings.METRICS_TOKEN:
        folder = Path(settings.DATA_DIR) / "metrics"
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        environment["PROMETHEUS_MULTIPROC_DIR"] = str(folder)
