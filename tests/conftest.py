"""What all tests share."""

import logging
import re
from collections.abc import Callable, Iterator
from datetime import timedelta

import pytest
from django.core.cache import cache

from catalog.codes import Role
from config.logs import JsonFormatter
from tests.queues import empty_queue

PASSWORD = "a long and private one"


class LogWatch(logging.Handler):
    """Looks at every line as it is written to the log, and keeps those that say too much."""

    # Seventeen figures behind a point are a duration, no VIN.
    said_too_much = re.compile(
        rf"(?<!\d\.)\b(?=\w*\d)[A-HJ-NPR-Z0-9]{{17}}\b|jb_[0-9a-f]{{64}}|{PASSWORD}", re.IGNORECASE
    )

    def __init__(self) -> None:
        super().__init__(logging.INFO)
        self.setFormatter(JsonFormatter())
        self.found: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        line = self.format(record)
        if self.said_too_much.search(line):
            self.found.append(line)


@pytest.fixture(scope="session", autouse=True)
def the_log_says_nothing_private() -> Iterator[None]:
    """Fails the run when a line of its log holds a VIN, a token or a password."""
    watch = LogWatch()
    logging.getLogger().addHandler(watch)
    yield
    logging.getLogger().removeHandler(watch)
    assert not watch.found, "\n".join(watch.found[:20])


@pytest.fixture(autouse=True)
def quick_and_generous(settings):
    """Cheap password hashes, rates that no test reaches unless it sets its own, one database."""
    hashers = "django.contrib.auth.hashers"
    settings.PASSWORD_HASHERS = [f"{hashers}.MD5PasswordHasher", f"{hashers}.PBKDF2PasswordHasher"]
    settings.ANONYMOUS_RATE = "1000000/min"
    settings.ENQUIRY_RATE = "1000000/min"
    settings.HAS_REPLICA = False  # whatever the environment says: a test has one database
    cache.clear()


@pytest.fixture(autouse=True)
def nothing_kept():
    """Tests roll back, so editions repeat with other content: nothing may be kept from one to the next."""
    from api.caching import kept_answers
    from fitment.readers.editions import forget

    kept_answers.forget()
    forget()


@pytest.fixture(autouse=True)
def queue_is_left_empty(request, django_db_blocker) -> Iterator[None]:
    """Of tests that commit: the next one in this process may look what it queued itself."""
    yield
    marker = request.node.get_closest_marker("django_db")
    if marker is not None and marker.kwargs.get("transaction"):
        with django_db_blocker.unblock():
            empty_queue()


@pytest.fixture
def token(db) -> Callable[[Role], str]:
    """The token of an account of a role, made when first asked for."""
    from config.accounts.services import account_create, token_create

    made: dict[Role, str] = {}

    def of(role: Role) -> str:
        if role not in made:
            user = account_create(name=f"somebody-{role}", role=role)
            _, made[role] = token_create(user=user, name="test", lifetime=timedelta(days=1))
        return made[role]

    return of
