"""What the worker does by the clock."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connections
from django.utils import timezone
from procrastinate.contrib.django import app

from catalog.services.accounts import accounts_tidy

_log = logging.getLogger("jointbook.tidy")


@contextmanager
def own_connections() -> Iterator[None]:
    """A task runs in a thread that outlives it: the connections it opened must not, or they go stale there."""
    try:
        yield
    finally:
        connections.close_all()


@app.periodic(cron="17 3 * * *")
@app.task(name="tidy", queueing_lock="tidy", pass_context=False)
def tidy(timestamp: int) -> None:
    """Every night: what has run out goes, so that tables of sessions and sign-ins do not grow for ever."""
    with own_connections():
        _log.info("removed what has run out: %s", accounts_tidy(now=timezone.now()))
