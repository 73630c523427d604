"""Failed sign-ins: slowed for the account, closed for account and address, waiting for the address."""

from datetime import timedelta

import pytest
from axes.models import AccessAttempt
from django.utils import timezone

from config.accounts.services import ADDRESS_FAILURES, seconds_to_wait
from tests.accounts.conftest import PASSWORD

SIGN_IN = "/account/sign-in/"


def fail(client, name="anna", address="192.0.2.1", password="wrong"):  # noqa: S107
    return client.post(SIGN_IN, {"username": name, "password": password}, REMOTE_ADDR=address)


def let_time_pass(seconds):
    """As if what happened so far had happened earlier."""
    for attempt in AccessAttempt.objects.all():
        attempt.attempt_time -= timedelta(seconds=seconds)
        attempt.save()


def test_the_account_answers_more_slowly_with_each_failure(client, account):
    account("anna")
    for number in range(3):
        assert fail(client, address=f"192.0.2.{number}").status_code == 422
    slowed = fail(client, address="192.0.2.99", password=PASSWORD)
    assert slowed.status_code == 429
    assert slowed["Retry-After"] == "1"
    let_time_pass(2)
    assert fail(client, address="192.0.2.100").status_code == 422
    waits = [seconds_to_wait(username="anna", address="192.0.2.200")]
    for number in range(101, 106):
        let_time_pass(61)
        fail(client, address=f"192.0.2.{number}")
        waits.append(seconds_to_wait(username="anna", address="192.0.2.200"))
    assert waits == [2, 4, 8, 16, 32, 60]


def test_an_attack_from_elsewhere_never_closes_the_account_for_its_owner(client, account):
    account("anna")
    for number in range(30):
        fail(client, address=f"198.51.100.{number}")
        let_time_pass(61 if number % 10 else 0)
    let_time_pass(61)
    assert fail(client, address="192.0.2.1", password=PASSWORD).status_code == 302


def test_five_failures_close_the_account_to_the_address_for_a_quarter_of_an_hour(client, account):
    account("anna")
    for _ in range(4):
        fail(client)
        let_time_pass(10)
    locked = fail(client)
    assert locked.status_code == 429
    assert locked["Retry-After"] == "900"
    let_time_pass(61)
    assert fail(client, password=PASSWORD).status_code == 429
    assert fail(client, password=PASSWORD, address="203.0.113.9").status_code == 302
    let_time_pass(900)
    assert fail(client, password=PASSWORD).status_code == 302


def test_one_address_that_tries_many_accounts_has_to_wait(client, db):
    for number in range(ADDRESS_FAILURES):
        assert fail(client, name=f"name{number}").status_code == 422
    assert fail(client, name="one more").status_code == 429
    assert fail(client, name="one more", address="203.0.113.9").status_code == 422


def test_an_account_that_does_not_exist_answers_as_one_that_does(client, account):
    account("anna")
    answers = {}
    for name in ("anna", "nobody"):
        answers[name] = [fail(client, name=name, address=f"192.0.2.{number}").status_code for number in range(5)]
    assert answers["anna"] == answers["nobody"]


def test_success_clears_the_count_of_the_address(client, account):
    account("anna")
    fail(client)
    fail(client)
    assert fail(client, password=PASSWORD).status_code == 302
    assert seconds_to_wait(username="anna", address="192.0.2.1") == 0


@pytest.mark.django_db
def test_old_failures_are_forgotten():
    AccessAttempt.objects.create(username="anna", ip_address="192.0.2.1", failures_since_start=50)
    now = timezone.now()
    assert seconds_to_wait(username="anna", address="192.0.2.1", now=now) > 0
    assert seconds_to_wait(username="anna", address="192.0.2.1", now=now + timedelta(minutes=16)) == 0
