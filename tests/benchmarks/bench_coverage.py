"""Coverage and conflicts of a catalogue a hundred times as large against a hundred times those of one.

Both are looked up once an edition; what is watched is that they grow no faster than the catalogue, and that an editor
who looks at the conflicts waits for a part of what a count of the coverage takes.
"""

from io import StringIO

from django.conf import settings
from django.core.management import call_command

from fitment.readers.editions import uncached
from fitment.services.catalogue.conflicts import catalogue_conflicts
from fitment.services.coverage.cells import coverage
from tests.benchmarks.grown import grow
from tests.benchmarks.ratios import Ratio, Work, seconds_of

COPIES = 99


def rows() -> list[Ratio]:
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
    with uncached():
        alone = [_least(work, of=3) for work in (coverage, catalogue_conflicts)]
        grow(COPIES)
        counted, looked = (_least(work, of=1) for work in (coverage, catalogue_conflicts))
    times = COPIES + 1
    return [
        Ratio(f"coverage of {times} times the catalogue", f"{times} times one", counted, alone[0] * times, aim=1.5),
        Ratio(f"conflicts of {times} times the catalogue", f"{times} times one", looked, alone[1] * times, aim=1.5),
        Ratio(f"conflicts of {times} times the catalogue", "its coverage", looked, counted, aim=0.5),
    ]


def _least(work: Work, *, of: int) -> float:
    """The least seconds of some times, warmed once where there are several."""
    if of > 1:
        work()
    return min(seconds_of(work) for _ in range(of))
