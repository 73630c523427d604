"""What has run out is removed by the worker at night, and nothing else."""

from datetime import timedelta

import pytest
from axes.models import AccessAttempt, AccessLog
from django.contrib.sessions.models import Session
from django.utils import timezone
from procrastinate.contrib.django import app

from catalog.models import ApiToken
from config.accounts.services import accounts_tidy, token_create

NOW = timezone.now()


@pytest.mark.django_db
def test_only_what_has_run_out_goes(account):
    user = account("anna")
    for name, age in (("old", -1), ("new", 1)):
        Session.objects.create(session_key=name, session_data="", expire_date=NOW + timedelta(minutes=age))
        token, _ = token_create(user=user, name=name, lifetime=None)
        ApiToken.objects.filter(pk=token.pk).update(expiry=NOW + timedelta(minutes=age))
    token_create(user=user, name="endless", lifetime=None)
    for days in (0, 2):
        attempt = AccessAttempt.objects.create(username=str(days), ip_address="192.0.2.1", failures_since_start=1)
        AccessAttempt.objects.filter(pk=attempt.pk).update(attempt_time=NOW - timedelta(days=days))
    for days in (80, 100):
        log = AccessLog.objects.create(username=str(days), ip_address="192.0.2.1")
        AccessLog.objects.filter(pk=log.pk).update(attempt_time=NOW - timedelta(days=days))
    assert accounts_tidy(now=NOW) == {"sessions": 1, "tokens": 1, "failed sign-ins": 1, "sign-ins": 1}
    assert [session.pk for session in Session.objects.all()] == ["new"]
    assert {token.name for token in ApiToken.objects.all()} == {"new", "endless"}
    assert [attempt.username for attempt in AccessAttempt.objects.all()] == ["0"]
    assert [log.username for log in AccessLog.objects.all()] == ["80"]


def test_the_worker_knows_it_by_the_clock():
    app.perform_import_paths()
    [periodic] = [task for task in app.periodic_registry.periodic_tasks.values() if task.task.name == "tidy"]
    assert periodic.cron == "17 3 * * *"
