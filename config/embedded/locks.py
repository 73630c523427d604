"""File locks that end with the process that holds them."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


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
