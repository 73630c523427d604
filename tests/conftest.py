"""What all tests share."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.core.cache import cache

from catalog.roles import Role


@pytest.fixture(autouse=True)
def quick_and_generous(settings):
    """Cheap password hashes, and rates that no test reaches unless it sets its own."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.ANONYMOUS_RATE = "1000000/min"
    settings.ENQUIRY_RATE = "1000000/min"
    cache.clear()


@pytest.fixture(autouse=True)
def nothing_kept():
    """Tests roll back, so editions repeat with other content: nothing may be kept from one to the next."""
    from api.caching import kept_answers
    from fitment.facts.editions import forget

    kept_answers.forget()
    forget()


@pytest.fixture
def token(db) -> Callable[[Role], str]:
    """The token of an account of a role, made when first asked for."""
    from catalog.services.accounts import account_create, token_create

    made: dict[Role, str] = {}

    def of(role: Role) -> str:
        if role not in made:
            user = account_create(name=f"somebody-{role}", role=role)
            _, made[role] = token_create(user=user, name="test", lifetime=timedelta(days=1))
        return made[role]

    return of
