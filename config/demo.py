"""The demo company: its secret, its accounts, and what to try in it."""

import json
import secrets
from dataclasses import asdict, dataclass
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.contrib.auth.models import User
from django.db import connection, transaction

from catalog.codes import Role
from catalog.models import ApiToken, Catalogue
from config.accounts.services import account_create, account_set_role, token_create

FOLDER = settings.ROOT / "fixtures" / "demo"
CATALOGUE = "lindmoor-demo"
QUESTION = "chassis=QN4&designation=25&body=saloon&market=EU&built=2017-05"
PAGES = (
    ("/", "which car?"),
    (f"/car/?{QUESTION}", "one car and what fits it"),
    ("/coverage/", "which platforms still need a design (sign in as development)"),
)
NUMBER = "TH 41.10-100"
STAMP = "LM-210-C 2210"
VIN = "30TN4SRC2GT004711"
_TOKEN_LIFETIME = timedelta(days=365)


@dataclass(frozen=True)
class DemoAccount:
    role: Role
    name: str
    password: str
    token: str


def secret_key(data_dir: Path) -> str:
    """The demo's own key, made once and kept beside its data, so that sessions outlive a restart."""
    path = data_dir / "secret_key"
    if not path.exists():
        _write_private(path, secrets.token_urlsafe(48))
    return path.read_text().strip()


def is_empty() -> bool:
    return not Catalogue.objects.exists()


def empty_database() -> None:
    """Removes every table of the database, the accounts' too."""
    with connection.cursor() as cursor:
        cursor.execute("DROP SCHEMA public CASCADE")
        cursor.execute("CREATE SCHEMA public")


def accounts(data_dir: Path) -> list[DemoAccount]:
    """One account a role, with password and token.

    They are kept in a file beside the data, readable by its owner alone: the database holds only their
    hashes, and a demo that shows another password at every start would be no use.
    """
    path = data_dir / "demo_accounts.json"
    kept = [DemoAccount(Role(row.pop("role")), **row) for row in json.loads(path.read_text())] if path.exists() else []
    if len(kept) == len(Role) and all(_still_opens(account) for account in kept):
        return kept
    made = [_make(role) for role in Role]
    rows = [asdict(account) for account in made]
    _write_private(path, json.dumps(rows, indent=1))
    return made


def _still_opens(account: DemoAccount) -> bool:
    user = User.objects.filter(username=account.name).first()
    if user is None or not user.check_password(account.password):
        return False
    return any(account.token.startswith(token.token_key) for token in user.auth_token_set.all())


@transaction.atomic
def _make(role: Role) -> DemoAccount:
    name, password = f"demo-{role.value}", secrets.token_urlsafe(9)
    user = User.objects.filter(username=name).first() or account_create(name=name, role=role)
    account_set_role(user=user, role=role)
    user.set_password(password)
    user.save()
    ApiToken.objects.filter(user=user, name="demo").delete()
    _, text = token_create(user=user, name="demo", lifetime=_TOKEN_LIFETIME)
    return DemoAccount(role, name, password, text)


def _write_private(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch(mode=0o600)
    path.chmod(0o600)
    path.write_text(text)
