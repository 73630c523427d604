"""An account with a role, and a token for it."""

from datetime import timedelta
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from catalog.codes import Role
from catalog.roles import role_of
from config.accounts.services import AccountProblem, account_create, token_create


class Command(BaseCommand):
    help = "Makes an account with the role, or takes the one there is, and prints a new API token for it, once."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="the account's name")
        parser.add_argument("--role", required=True, choices=[role.value for role in Role])
        parser.add_argument("--days", type=int, default=365, help="how long the token lives (default 365)")

    def handle(self, *args: Any, **options: Any) -> None:
        role = Role(options["role"])
        if options["days"] < 1:
            raise CommandError("--days must be 1 or more")
        try:
            user = User.objects.filter(username=options["name"]).first()
            if user is None:
                user = account_create(name=options["name"], role=role)
            elif role_of(user) is not role:
                raise AccountProblem(
                    f"the account {user} has the role {role_of(user)}; an editor changes it under /administration/"
                )
            name = f"command line {timezone.now():%Y-%m-%d %H:%M:%S.%f}"
            token, text = token_create(user=user, name=name, lifetime=timedelta(days=options["days"]))
        except AccountProblem as problem:
            raise CommandError(str(problem)) from None
        self.stderr.write(f"Account {user}, role {role}, until {token.expiry:%Y-%m-%d}. The token is shown this once:")
        self.stdout.write(text)
