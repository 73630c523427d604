from tests.accounts.conftest import account  # noqa: F401  # the fixture
