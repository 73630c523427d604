"""The stages of the work on an upload, where tests interrupt it; as a program: a worker that waits at one of them.

`python -m tests.fitment.interruptions.stages STAGE` says THERE when its work has come to the stage, and waits
for a line.
"""

import sys
from collections.abc import Callable
from typing import Any

from catalog.workbook.report import Report

THERE = "there"
WRITTEN = "all written, not committed"
OVER = "over, not acknowledged"
RULES, COMPARED = "rules checked", "answers compared"
TOLD = ("rows read", RULES, COMPARED, "rows written")
CHECK_STAGES = (*TOLD, OVER)
LOAD_STAGES = (*TOLD, WRITTEN, OVER)


def staged(load: Callable[..., Report], at: Callable[[str], None]) -> Callable[..., Report]:
    """The load of a catalogue, telling each stage that it comes to."""

    def told(*, progress: Callable[[str, int, int], None], then: Any = None, **asked: Any) -> Report:
        def tell(stage: str, done: int, total: int) -> None:
            progress(stage, done, total)
            at(stage)

        def written(report: Report) -> None:
            then(report)
            at(WRITTEN)

        report = load(progress=tell, then=written if then else None, **asked)
        at(OVER)
        return report

    return told


def main(wanted: str) -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from fitment.services.catalogue import uploads

    def wait_at(stage: str) -> None:
        if stage == wanted:
            sys.stdout.write(f"{THERE}\n")
            sys.stdout.flush()
            sys.stdin.readline()

    uploads.catalogue_load = staged(uploads.catalogue_load, wait_at)
    call_command("worker")


if __name__ == "__main__":
    main(sys.argv[1])
