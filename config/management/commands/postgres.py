"""PostgreSQL's own client programs on this installation's database."""

import argparse
import os
import subprocess
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from config.embedded import binaries

PROGRAMS = ("pg_dump", "pg_restore", "psql", "pg_isready", "vacuumdb")


class Command(BaseCommand):
    help = "Runs psql, pg_dump or pg_restore on the database of this installation, with the arguments that follow."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("program", choices=PROGRAMS)
        parser.add_argument("arguments", nargs=argparse.REMAINDER, help="given to the program as they are")

    def handle(self, *args: Any, **options: Any) -> None:
        connection.ensure_connection()  # starts the private server, and holds it while the program runs
        database = connection.settings_dict
        told = {
            "PGDATABASE": database["NAME"],
            "PGUSER": database["USER"],
            "PGPASSWORD": database.get("PASSWORD", ""),
            "PGHOST": database["HOST"],
            "PGPORT": database["PORT"],
            "PGSSLMODE": database["OPTIONS"].get("sslmode", ""),
        }
        environment = os.environ | {name: str(value) for name, value in told.items() if value}
        done = subprocess.run(
            [binaries.directory() / options["program"], *options["arguments"]], env=environment, check=False
        )
        if done.returncode:
            raise CommandError(f"{options['program']} ended with {done.returncode}", returncode=done.returncode)
