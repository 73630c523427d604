"""What all tests share."""

import pytest
from django.core.cache import cache


@pytest.fixture(autouse=True)
def quick_and_generous(settings):
    """Cheap password hashes, and rates that no test reaches unless it sets its own."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.ANONYMOUS_RATE = "1000000/min"
    settings.ENQUIRY_RATE = "1000000/min"
    cache.clear()
