"""Loads and dumps of the whole workbook, with the answers that a load changes."""

from collections.abc import Callable
from typing import Any

from catalog.workbook import checks as facts
from catalog.workbook.loading import WAIT, Engine, Progress, Wishes, load
from catalog.workbook.reading import Source
from catalog.workbook.report import Report
from fitment import sheet_checks as evidence
from fitment.services.catalogue.changed_answers import AnswerComparison
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
    progress: Progress | None = None,
    wait: float = WAIT,
    at_edition: int | None = None,
    then: Callable[[Report], None] | None = None,
) -> Report:
    """Loads a workbook (or with `check` only tries); see `catalog.workbook.loading.load`."""
    more = {} if progress is None else {"progress": progress}
    return load(
        engine=ENGINE, source=source,
        wishes=Wishes(check=check, replace=replace, force=force, at_edition=at_edition),
        actor=actor, actor_name=actor_name, wait=wait, then=then, **more,
    )  # fmt: skip
