"""`load_catalogue PATH [--check] [--replace] [--force] [--report FILE]`."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalog.workbook.errors import Busy
from catalog.workbook.reading import Source
from fitment.services.catalogue.loading import catalogue_load, report_write

MOST_SHOWN = 40
WRONG_CALL = 2


class Command(BaseCommand):
    requires_system_checks: list[str] = []  # addresses and settings of the web have no part in it
    help = "Loads a workbook (.xlsx, a folder or a zip of .csv files) into the catalogue: all of it or nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("path", type=Path, help="the workbook")
        parser.add_argument("--check", action="store_true", help="do everything and store nothing")
        parser.add_argument("--replace", action="store_true", help="the file becomes the whole catalogue")
        parser.add_argument("--force", action="store_true", help="also over rows changed since, or another catalogue")
        parser.add_argument("--report", type=Path, metavar="FILE", help="write everything found (.json, .csv or text)")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            source = Source.of_path(options["path"])
        except OSError as error:
            wrong = f"'{options['path']}' cannot be read: {error.strerror}"
            raise CommandError(wrong, returncode=WRONG_CALL) from error
        try:
            asked = {name: options[name] for name in ("check", "replace", "force")}
            report = catalogue_load(source=source, actor_name="load_catalogue", **asked)
        except Busy as busy:
            raise CommandError(str(busy)) from busy
        self.stdout.write("\n".join(report.lines(most=MOST_SHOWN)))
        if options["report"] is not None:
            try:
                report_write(report, options["report"])
            except OSError as error:
                raise CommandError(f"the report cannot be written: {error}", returncode=WRONG_CALL) from error
        if report.refused:
            raise SystemExit(1)
