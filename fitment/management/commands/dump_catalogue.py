"""`dump_catalogue PATH`."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalog.workbook.dumping import dump
from fitment.sheets import SHEETS

WRONG_CALL = 2


class Command(BaseCommand):
    requires_system_checks: list[str] = []  # addresses and settings of the web have no part in it
    help = "Writes the whole catalogue as a workbook: PATH.xlsx, PATH.zip, or a folder of .csv files."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("path", type=Path, help="where to")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            dump(options["path"], sheets=SHEETS)
        except OSError as error:
            wrong = f"'{options['path']}' cannot be written: {error.strerror}"
            raise CommandError(wrong, returncode=WRONG_CALL) from error
        self.stdout.write(f"written: {options['path']}")
