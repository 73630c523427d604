"""Coverage of a catalogue a hundred times as large against a hundred times the coverage of one.

It is counted once an edition; what is watched is that it grows no faster than the catalogue.
"""

from io import StringIO

from django.conf import settings
from django.core.management import call_command

from fitment.facts.editions import uncached
from fitment.services.coverage import coverage
from tests.benchmarks.grown import grow
from tests.benchmarks.ratios import Ratio, seconds_of

COPIES = 99


def rows() -> list[Ratio]:
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
    with uncached():
        coverage()
        alone = min(seconds_of(coverage) for _ in range(3))
        grow(COPIES)
        large = seconds_of(coverage)
    times = COPIES + 1
    return [Ratio(f"coverage of {times} times the catalogue", f"{times} times one", large, alone * times, aim=1.5)]
