"""What the worker does by the clock for the installation itself."""

import logging

from django.utils import timezone
from procrastinate.contrib.django import app

from config.accounts.services import accounts_tidy
from fitment.tasks import own_connections

_log = logging.getLogger("jointbook.tidy")


@app.periodic(cron="17 3 * * *")
@app.task(name="tidy", queueing_lock="tidy", pass_context=False)
def tidy(timestamp: int) -> None:
    """Every night: what has run out goes, so that tables of sessions and sign-ins do not grow for ever."""
    with own_connections():
        _log.info("removed what has run out: %s", accounts_tidy(now=timezone.now()))
