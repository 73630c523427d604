"""Loads of the whole workbook with the answers that a load changes, and the file with the report of one."""

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from catalog.workbook import checks as facts
from catalog.workbook.loading import WAIT, Engine, LoadOptions, Progress, load, quiet
from catalog.workbook.reading import Source
from catalog.workbook.report import CHANGE_HEADS, Report, change_rows
from fitment import sheet_checks as evidence
from fitment.services.catalogue.answer_comparison import AnswerComparison
from fitment.sheets import SHEETS

CHECKS = (*facts.CHECKS, *evidence.CHECKS)
ENGINE = Engine(SHEETS, CHECKS, AnswerComparison)


def catalogue_load(
    *,
    source: Source,
    check: bool = False,
    replace: bool = False,
    force: bool = False,
    actor: Any = None,
    actor_name: str = "",
    progress: Progress = quiet,
    wait: float = WAIT,
    at_edition: int | None = None,
    then: Callable[[Report], None] | None = None,
) -> Report:
    """Loads a workbook (or with `check` only tries); see `catalog.workbook.loading.load`."""
    options = LoadOptions(
        check=check,
        replace=replace,
        force=force,
        at_edition=at_edition,
        actor=actor,
        actor_name=actor_name,
        wait=wait,
        progress=progress,
        then=then,
    )
    return load(engine=ENGINE, source=source, options=options)


def report_write(report: Report, path: Path) -> None:
    """Writes a report as JSON, as CSV of the answers that change, or in lines, by the ending. Raises OSError."""
    ending, found = path.suffix.lower(), report.to_json()
    if ending == ".json":
        path.write_text(json.dumps(found, indent=1, default=str) + "\n", encoding="utf-8")
    elif ending == ".csv":
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(CHANGE_HEADS)
            writer.writerows(change_rows(found["answers"], found["minutes"]))
    else:
        path.write_text("\n".join(report.lines()) + "\n", encoding="utf-8")
