"""A load: read, merge, check, compare, write, all in one transaction or not at all."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Protocol

from django.db import transaction

from catalog.sheets.sheet import Sheets
from catalog.workbook import editions
from catalog.workbook.cells import RawSheet
from catalog.workbook.draft import Draft, merge
from catalog.workbook.errors import Findings, Moved, Refused
from catalog.workbook.reading import Source, raw_sheets
from catalog.workbook.report import Differences, Report
from catalog.workbook.rows import FileSheet, read_sheets
from catalog.workbook.storage import Stored
from catalog.workbook.writing import Writer, constraints_check

WAIT = 60.0  # seconds for which a load waits for another
Progress = Callable[[str, int, int], None]
Check = Callable[[Draft], None]
"""A rule about the draft as a whole; it adds what it finds."""


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


def quiet(stage: str, done: int, total: int) -> None:
    """Nobody follows the progress."""


@dataclass(frozen=True, slots=True)
class LoadOptions:
    """How a load is asked for, and by whom.

    `at_edition`: only where the catalogue still stands at that edition. `wait`: for another load, in seconds. `then`
    runs in the same transaction after all is written: what it stores stands or falls with the load.
    """

    check: bool = False
    replace: bool = False
    force: bool = False
    groups: bool = True
    at_edition: int | None = None
    actor: Any = None
    actor_name: str = ""
    wait: float = WAIT
    progress: Progress = quiet
    then: Callable[[Report], None] | None = None


def load(*, engine: Engine, source: Source, options: LoadOptions) -> Report:
    """Loads a workbook, or checks it. The report tells of errors; then nothing was stored.

    Raises Busy when another load does not end in time, Moved when the catalogue stands elsewhere than at the edition
    wished for.
    """
    edition = editions.catalogue_now().edition
    report = Report(source.name, check=options.check, edition_before=edition, edition_after=edition)
    findings = Findings()
    try:
        raws = _told(raw_sheets(source, findings.errors, findings.notes), options.progress)
        load_files(engine, read_sheets(raws, engine.sheets, findings), options, findings, report)
    except Refused as refused:
        report.errors = refused.errors
    report.warnings, report.notes = list(findings.warnings), findings.notes
    return report


def _told(raws: Iterable[RawSheet], progress: Progress) -> Iterator[RawSheet]:
    for at, raw in enumerate(raws):
        progress("rows read", at, 0)
        yield raw


def load_files(
    engine: Engine, files: dict[str, FileSheet], options: LoadOptions, findings: Findings, report: Report
) -> Draft:
    """Merges, checks, compares and writes sheets that are read, in a transaction that has the catalogue.

    Raises as `load`, and Refused with every error there is.
    """
    with transaction.atomic():
        editions.catalogue_lock(wait=options.wait)
        now = editions.catalogue_now().edition
        if options.at_edition is not None and now != options.at_edition:
            raise Moved(options.at_edition, now)
        report.edition_before = report.edition_after = now
        draft = Draft(Stored(engine.sheets), findings)
        empty = editions.is_empty(draft)
        merge_and_check(engine, draft, files, options, empty=empty)
        report.counts = {name: draft.changes[name].counts() for name in files if name in draft.changes}
        if any(draft.changes.values()):
            _write(engine, draft, options, report, empty=empty)
        if options.then is not None:
            options.then(report)
        if options.check:
            transaction.set_rollback(True)
    return draft


def _write(engine: Engine, draft: Draft, options: LoadOptions, report: Report, *, empty: bool) -> None:
    """Writes what changes and the next edition, and compares the answers before and after."""
    comparison = engine.comparison() if engine.comparison and not empty else None
    if empty and engine.comparison:
        draft.findings.notes.append("the catalogue was empty: all answers are new, none is compared")
    if comparison is not None:
        comparison.before(draft, options.progress)
    options.progress("rows written", 0, 0)
    Writer(draft).write()
    constraints_check()
    if comparison is not None:
        report.differences = comparison.after(options.progress)
    # Last, since it holds the catalogue's row, which those wait for who count enquiries.
    edition = editions.edition_make(draft, report, actor=options.actor, actor_name=options.actor_name)
    report.edition_after = edition.number


def merge_and_check(
    engine: Engine, draft: Draft, files: dict[str, FileSheet], options: LoadOptions, *, empty: bool
) -> None:
    """The sheets of a file merged into the draft, and every check over it. Raises Refused with every error."""
    _merge_all(draft, files, options, empty=empty)
    for at, check in enumerate(engine.checks):
        options.progress("rules checked", at, len(engine.checks))
        check(draft)
    draft.findings.errors.refuse()


def _merge_all(draft: Draft, files: dict[str, FileSheet], options: LoadOptions, *, empty: bool) -> None:
    errors, notes = draft.findings.errors, draft.findings.notes
    for sheet in draft.sheets if options.replace else ():
        if sheet.name not in files and not sheet.counted_only:
            right = "to replace the whole catalogue every sheet is needed"
            errors.add("the sheet is missing", right, sheet=sheet.name)
    book = files.get("catalogue")
    editions.merge_catalogue(draft, book, empty=empty, replace=options.replace, force=options.force)
    for name, file in files.items():
        if name == "catalogue":
            continue
        if file.sheet.counted_only and (not empty or draft.now(name)):
            if file.rows:
                notes.append(f"{name}: passed over, since rows stand in the catalogue; the service gathers them")
            continue
        merge(draft, file, replace=options.replace and not file.sheet.counted_only, groups=options.groups)
    since = editions.file_edition(book)
    if since is not None and not empty and not options.force:
        now = editions.catalogue_now().edition
        if since > now:  # of the same catalogue in another installation, or from before a restore
            notes.append(f"catalogue: written at edition {since}, this is {now}; what changed since cannot be told")
        editions.refuse_stale(draft, since=since)
