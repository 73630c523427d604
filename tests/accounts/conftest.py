import pytest

from catalog.codes import Role
from config.accounts.services import account_create
from tests.conftest import PASSWORD


@pytest.fixture
def account(db):
    """Makes an account: `account("anna", Role.SALES)`, with the password `PASSWORD`."""

    def make(name: str, role: Role = Role.SALES):
        return account_create(name=name, role=role, password=PASSWORD)

    return make
