"""Web and worker for production."""

import os
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError

from config import processes
from config.embedded.server import ServerFailed
from config.monitoring import pending_migrations


class Command(BaseCommand):
    help = "Runs the web server and the worker of the queue; ends both on Ctrl-C or SIGTERM."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="address to listen on (default 127.0.0.1)")
        parser.add_argument("--port", type=int, default=settings.PORT, help="default PORT, 8000")
        parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="web processes (default: cores)")
        parser.add_argument("--no-worker", action="store_true", help="leave the queue to workers elsewhere")

    def handle(self, *args: Any, **options: Any) -> None:
        if not os.environ.get("SECRET_KEY"):
            make = 'python3 -c "import secrets; print(secrets.token_urlsafe(48))"'
            raise CommandError(f"SECRET_KEY is not set; make one with {make} and keep it")
        if options["workers"] < 1:
            raise CommandError("--workers must be 1 or more")
        processes.refuse_taken_port(options["host"], options["port"])
        self._refuse_unready_database()
        services = [processes.web(host=options["host"], port=options["port"], workers=options["workers"])]
        if not options["no_worker"]:
            services.append(processes.worker())
        environment = {"LOG_FORMAT": os.environ.get("LOG_FORMAT", "json")}
        try:
            with processes.running(services, environment=environment) as children:
                ended = processes.wait_for_any(services, children)
        except processes.Stopped:
            return
        raise CommandError(f"the {ended.name} ended by itself; its last lines say why")

    def _refuse_unready_database(self) -> None:
        try:
            behind = pending_migrations()
        except (DatabaseError, ServerFailed) as error:
            raise CommandError(f"the database does not answer: {' '.join(str(error).split())}") from None
        if behind:
            raise CommandError(f"the database lacks {behind} migrations; run manage.py migrate first")
