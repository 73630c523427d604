"""Accounts, their roles and their tokens; how long somebody who failed to sign in has to wait."""

from datetime import datetime, timedelta

from axes.models import AccessAttempt, AccessLog
from django.contrib.auth.models import Group, User
from django.contrib.sessions.models import Session
from django.db import transaction
from django.db.models import Max, QuerySet, Sum
from django.utils import timezone

from catalog.codes import Role
from catalog.models import ApiToken


class AccountProblem(ValueError):
    """What was asked of an account cannot be done; the message says why."""


def roles_ensure() -> None:
    """Makes the groups that stand for the roles, where they are missing."""
    groups = [Group(name=role.value) for role in Role if role is not Role.PUBLIC]
    Group.objects.bulk_create(groups, ignore_conflicts=True)


@transaction.atomic
def account_set_role(*, user: User, role: Role) -> None:
    """Gives the account this role and no other; the public's role is to be in no group."""
    roles_ensure()
    user.groups.set(Group.objects.filter(name=role.value))
    user.__dict__.pop("_jointbook_role", None)


@transaction.atomic
def account_create(*, name: str, role: Role, password: str | None = None) -> User:
    """A new account; without a password it cannot sign in to the pages and lives by its tokens."""
    if User.objects.filter(username=name).exists():
        raise AccountProblem(f"there is an account named {name} already")
    user = User.objects.create_user(username=name, password=password)
    account_set_role(user=user, role=role)
    return user


def token_create(*, user: User, name: str, lifetime: timedelta | None) -> tuple[ApiToken, str]:
    """A token of the user and its text, which is nowhere kept; `lifetime` None: it does not expire.

    Raises `AccountProblem` when the user has a token of that name or the name is empty.
    """
    name = name.strip()
    if not name:
        raise AccountProblem("a token needs a name, such as the program that will use it")
    if user.auth_token_set.filter(name=name).exists():
        raise AccountProblem(f"there is a token named {name} already; revoke it first, or choose another name")
    token, text = ApiToken.objects.create(user=user, expiry=lifetime, name=name)
    return token, text


def token_revoke(*, user: User, name: str) -> bool:
    """Ends a token of the user at once; whether there was one."""
    deleted, _ = user.auth_token_set.filter(name=name).delete()
    return deleted > 0


def accounts_tidy(*, now: datetime) -> dict[str, int]:
    """Removes sessions and tokens that ran out, failed sign-ins of yesterday, sign-ins of last quarter; counts each."""
    gone = {
        "sessions": Session.objects.filter(expire_date__lt=now),
        "tokens": ApiToken.objects.filter(expiry__lt=now),
        "failed sign-ins": AccessAttempt.objects.filter(attempt_time__lt=now - timedelta(days=1)),
        "sign-ins": AccessLog.objects.filter(attempt_time__lt=now - timedelta(days=90)),
    }
    return {name: rows.delete()[0] for name, rows in gone.items()}


WINDOW = timedelta(minutes=15)
FREE_FAILURES = 3
DELAYS = (1, 2, 4, 8, 16, 32, 60)  # seconds, after the third failure, the fourth ...
ADDRESS_FAILURES = 20


def seconds_to_wait(*, username: str, address: str, now: datetime | None = None) -> int:
    """Whole seconds until an attempt for this account from this address is looked at; 0: now.

    Three lines of defence, each for another attack. An account is closed to one address for a quarter of an hour
    after five failures (django-axes). Against many addresses that try one account, the account answers more and more
    slowly, up to a minute: never closed for all, or anybody could lock its owner out. Against one address that tries
    many accounts, the address waits after twenty failures.
    """
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
