"""A load: read, merge, check, compare, write, all in one transaction or not at all."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Protocol

from django.db import transaction

from catalog.sheets.sheet import Sheets
from catalog.workbook import editions
from catalog.workbook.applying import Writer, constraints_check
from catalog.workbook.draft import Draft, merge
from catalog.workbook.faults import Findings, Moved, Refused
from catalog.workbook.reading import Source, raw_sheets
from catalog.workbook.report import Differences, Report
from catalog.workbook.rows import FileSheet, read_sheets
from catalog.workbook.storage import Kept, Table

WAIT = 60.0  # seconds for which a load waits for another
Progress = Callable[[str, int, int], None]


class Check(Protocol):
    """A rule about the draft as a whole; it adds what it finds."""

    def __call__(self, draft: Draft, findings: Findings, /) -> None: ...


class Comparison(Protocol):
    """Compares answers before and after the writing; both run inside the transaction."""

    def before(self, draft: Draft, progress: Progress, /) -> None: ...
    def after(self, progress: Progress, /) -> Differences: ...


@dataclass(frozen=True, slots=True)
class Engine:
    """The sheets, the checks over them, and the comparison of answers that a load makes."""

    sheets: Sheets
    checks: tuple[Check, ...]
    comparison: Callable[[], Comparison] | None = None


@dataclass(frozen=True, slots=True)
class Wishes:
    """How a load is asked for; `at_edition`: only where the catalogue still stands at that edition."""

    check: bool = False
    replace: bool = False
    force: bool = False
    groups: bool = True
    at_edition: int | None = None


def _quiet(stage: str, done: int, total: int) -> None:
    """Nobody follows the progress."""


def load(
    *,
    engine: Engine,
    source: Source,
    wishes: Wishes,
    actor: Any = None,
    actor_name: str = "",
    progress: Progress = _quiet,
    wait: float = WAIT,
    then: Callable[[Report], None] | None = None,
) -> Report:
    """Loads a workbook, or checks it. The report tells of faults; then nothing was stored.

    `then` runs in the same transaction after all is written: what it stores stands or falls with the load.
    Raises Busy when another load does not end within `wait` seconds, Moved when the catalogue stands elsewhere than
    at the edition wished for.
    """
    edition = editions.catalogue_now().edition
    report = Report(source.name, check=wishes.check, edition_before=edition, edition_after=edition)
    findings = Findings()
    try:
        files = read_sheets(
            _told(raw_sheets(source, findings.faults, findings.notes), progress), engine.sheets, findings
        )
        with transaction.atomic():
            editions.catalogue_lock(wait=wait)
            stay_at(wishes.at_edition)
            store(
                engine=engine, files=files, wishes=wishes, findings=findings, report=report, actor=actor,
                actor_name=actor_name, source=source.name, progress=progress,
            )  # fmt: skip
            if then is not None:
                then(report)
            if wishes.check:
                transaction.set_rollback(True)
    except Refused as refused:
        report.faults = list(refused.faults)
    report.warnings, report.notes = list(findings.warnings), findings.notes
    return report


def stay_at(edition: int | None) -> None:
    """Raises Moved when the catalogue stands at another edition than one wished for."""
    now = editions.catalogue_now().edition
    if edition is not None and now != edition:
        raise Moved(edition, now)


def _told(raws: Iterable[Any], progress: Progress) -> Iterable[Any]:
    for at, raw in enumerate(raws):
        progress("rows read", at, 0)
        yield raw


def store(
    *,
    engine: Engine,
    files: dict[str, FileSheet],
    wishes: Wishes,
    findings: Findings,
    report: Report,
    actor: Any,
    actor_name: str,
    source: str,
    progress: Progress = _quiet,
) -> Draft:
    """Merges, checks, compares and writes inside the caller's transaction, the catalogue being locked.

    Raises Refused with every fault there is.
    """
    kept = Kept(engine.sheets)
    draft = Draft(engine.sheets, kept.rows)
    report.edition_before = report.edition_after = editions.catalogue_now().edition
    empty = _is_empty(engine.sheets)
    merge_all(draft, files, wishes, findings, empty=empty)
    for at, check in enumerate(engine.checks):
        progress("rules checked", at, len(engine.checks))
        check(draft, findings)
    findings.faults.refuse()
    report.counts = {name: draft.changes[name].counts() for name in files if name in draft.changes}
    if not any(draft.changes.values()):
        return draft
    comparison = engine.comparison() if engine.comparison and not empty else None
    if empty and engine.comparison:
        findings.notes.append("the catalogue was empty: all answers are new, none is compared")
    if comparison is not None:
        comparison.before(draft, progress)
    progress("rows written", 0, 0)
    Writer(draft, kept).write()
    constraints_check()
    if comparison is not None:
        report.differences = comparison.after(progress)
    # Last, since it holds the catalogue's row, which those wait for who count enquiries.
    edition = editions.edition_make(draft, actor=actor, actor_name=actor_name, source=source, counts=report.counts)
    editions.differences_keep(edition, report.differences)
    report.edition_after = edition.number
    return draft


def _is_empty(sheets: Sheets) -> bool:
    return editions.is_empty(sheets, lambda name: Table(sheets[name], sheets).model._default_manager.exists())


def merge_all(draft: Draft, files: dict[str, FileSheet], wishes: Wishes, findings: Findings, *, empty: bool) -> None:
    faults = findings.faults
    if wishes.replace:
        for sheet in draft.sheets:
            if sheet.name not in files and not sheet.counted_only:
                faults.add(
                    sheet.name,
                    None,
                    None,
                    "the sheet is missing",
                    "to replace the whole catalogue every sheet is needed",
                )
    editions.merge_catalogue(
        draft, files.get("catalogue"), empty=empty, replace=wishes.replace, force=wishes.force, faults=faults
    )
    for name, file in files.items():
        if name == "catalogue":
            continue
        if file.sheet.counted_only and (not empty or draft.now(name)):
            if file.rows:
                findings.notes.append(
                    f"{name}: passed over, since rows stand in the catalogue; the service gathers them"
                )
            continue
        replace = wishes.replace and not file.sheet.counted_only
        merge(draft, file, replace=replace, groups=wishes.groups, faults=faults)
    since = editions.file_edition(files.get("catalogue"))
    if since is not None and not empty and not wishes.force:
        now = editions.catalogue_now().edition
        if since > now:  # of the same catalogue in another installation, or from before a restore
            findings.notes.append(
                f"catalogue: written at edition {since}, this is {now}; what changed since cannot be told"
            )
        editions.refuse_stale(draft, since=since, faults=faults)
