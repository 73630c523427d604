"""What the worker does by the clock."""

import logging

from django.utils import timezone
from procrastinate.contrib.django import app

from catalog.services.accounts import accounts_tidy

_log = logging.getLogger("jointbook.tidy")


@app.periodic(cron="17 3 * * *")
@app.task(name="tidy", queueing_lock="tidy", pass_context=False)
def tidy(timestamp: int) -> None:
    """Every night: what has run out goes, so that tables of sessions and sign-ins do not grow for ever."""
    _log.info("removed what has run out: %s", accounts_tidy(now=timezone.now()))
