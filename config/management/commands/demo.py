"""The demo company, ready to be looked at."""

import os
import time
import urllib.error
import urllib.request
from io import StringIO
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from catalog.selectors import current_catalogue
from config import demo, processes
from config.embedded import server

WEB_PROCESSES = 2
READY_SECONDS = 60.0
HOST = "127.0.0.1"


class Command(BaseCommand):
    help = "Brings up the demo: database, demo catalogue (into an empty database only), accounts, web and worker."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=settings.PORT, help="default PORT, 8000")
        parser.add_argument("--reset", action="store_true", help="empty the database first")

    def handle(self, *args: Any, **options: Any) -> None:
        port = options["port"]
        processes.refuse_taken_port(HOST, port)
        accounts = self._prepare(reset=options["reset"])
        environment = {
            "SECRET_KEY": os.environ.get("SECRET_KEY") or demo.secret_key(settings.DATA_DIR),
            "LOG_FORMAT": os.environ.get("LOG_FORMAT", "plain"),
        }
        services = [processes.web(host=HOST, port=port, workers=WEB_PROCESSES), processes.worker()]
        try:
            with processes.running(services, environment=environment) as children:
                self._wait_until_ready(port, children)
                self._greet(port, accounts)
                ended = processes.wait_for_any(services, children)
        except processes.Stopped:
            self.stdout.write("\nStopped.")
            return
        finally:
            self._let_go()
        raise CommandError(f"the {ended.name} ended by itself; its last lines say why")

    def _prepare(self, *, reset: bool) -> list[demo.DemoAccount]:
        """Database, catalogue and accounts; no account is touched in a database that is not the demo's."""
        if reset:
            self._refuse_other_catalogue()
            demo.empty_database()
        self.stdout.write("Database ...")
        call_command("migrate", verbosity=0, interactive=False)
        if demo.is_empty():
            self.stdout.write("Demo catalogue ...")
            self._load()
        if current_catalogue().code != demo.CATALOGUE:
            self.stdout.write("This database holds another catalogue: nothing is loaded, no accounts are made.")
            return []
        accounts = demo.accounts(settings.DATA_DIR)
        connection.close()
        return accounts

    def _load(self) -> None:
        """Loads the sheets; their long report is of interest when they are refused alone."""
        report = StringIO()
        try:
            call_command("load_catalogue", str(demo.FOLDER), stdout=report, stderr=report)
        except SystemExit:
            raise CommandError(f"the demo catalogue was refused:\n{report.getvalue()}") from None

    def _refuse_other_catalogue(self) -> None:
        if "catalog_catalogue" not in connection.introspection.table_names() or demo.is_empty():
            return
        code = current_catalogue().code
        if code != demo.CATALOGUE:
            raise CommandError(f"this database holds the catalogue {code}, not the demo's; it is left as it is")

    def _wait_until_ready(self, port: int, children: list[Any]) -> None:
        deadline = time.monotonic() + READY_SECONDS
        while time.monotonic() < deadline and all(child.poll() is None for child in children):
            try:
                with urllib.request.urlopen(f"http://{HOST}:{port}/readyz", timeout=5):
                    return
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                time.sleep(0.1)
        raise CommandError("the web server did not become ready; the lines above say why")

    def _greet(self, port: int, accounts: list[demo.DemoAccount]) -> None:
        address = f"http://{HOST}:{port}"
        lines = ["", "Jointbook is up. Everything in it is invented. To open:", ""]
        lines += [f"  {address}{path}   {what}" for path, what in demo.PAGES]
        lines += ["", "To ask over HTTP:", "", f"  curl -s '{address}/api/v1/fitment/?{demo.QUESTION}'", ""]
        lines += ["To type into the box:", ""]
        lines += [f"  a number  {demo.NUMBER}", f"  a stamp   {demo.STAMP}", f"  a VIN     {demo.VIN}", ""]
        if accounts:
            lines += [f"Accounts, to sign in at {address}/account/sign-in/ (asking needs none):", ""]
            lines += [
                f"  {row.role.value:12} {row.name:17} password {row.password}   token {row.token}" for row in accounts
            ]
        lines += ["", "Ctrl-C stops everything.", ""]
        self.stdout.write("\n".join(lines))
        self.stdout.flush()

    def _let_go(self) -> None:
        """Ends the hold on the private server and waits until it is gone, so that nothing outlives the command."""
        connection.close()
        if connection.settings_dict["ENGINE"] == "config.backend":
            server.let_go(settings.DATA_DIR, wait=True)
