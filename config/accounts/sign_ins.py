"""How long somebody who failed to sign in has to wait before the next attempt is looked at.

Three lines of defence, each for another attack. An account is closed to one address for a quarter of
an hour after five failures (django-axes). Against many addresses that try one account, the account
answers more and more slowly, up to a minute: never closed for all, or anybody could lock its owner
out. Against one address that tries many accounts, the address waits after twenty failures.
"""

from datetime import datetime, timedelta

from axes.models import AccessAttempt
from django.db.models import Max, QuerySet, Sum
from django.utils import timezone

WINDOW = timedelta(minutes=15)
FREE_FAILURES = 3
DELAYS = (1, 2, 4, 8, 16, 32, 60)  # seconds, after the third failure, the fourth ...
ADDRESS_FAILURES = 20


def seconds_to_wait(*, username: str, address: str, now: datetime | None = None) -> int:
    """Whole seconds until an attempt for this account from this address is looked at; 0: now."""
    now = now or timezone.now()
    recent = AccessAttempt.objects.filter(attempt_time__gt=now - WINDOW)
    waits = [timedelta(0)]
    failures, last = _failures(recent.filter(username=username))
    if last and failures >= FREE_FAILURES:
        delay = DELAYS[min(failures - FREE_FAILURES, len(DELAYS) - 1)]
        waits.append(last + timedelta(seconds=delay) - now)
    failures, last = _failures(recent.filter(ip_address=address))
    if last and failures >= ADDRESS_FAILURES:
        waits.append(last + WINDOW - now)
    return -(-max(waits) // timedelta(seconds=1))


def _failures(attempts: QuerySet[AccessAttempt]) -> tuple[int, datetime | None]:
    found = attempts.aggregate(failures=Sum("failures_since_start"), last=Max("attempt_time"))
    return found["failures"] or 0, found["last"]
