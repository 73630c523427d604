"""How benchmarks measure: two ways of doing something in turns, the ratio of their medians.

A ratio of two measurements on one machine, taken in turns, says something elsewhere too; seconds do not.
"""

import gc
import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median

Work = Callable[[], object]


@dataclass(frozen=True)
class Ratio:
    """One line of the table. `aim`: at most this ratio; None where it is only watched."""

    what: str
    against: str
    seconds: float
    base_seconds: float
    aim: float | None = None

    @property
    def value(self) -> float:
        return self.seconds / self.base_seconds


def seconds_of(work: Work) -> float:
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


def compare(what: str, work: Work, against: str, base: Work, *, rounds: int = 40, aim: float | None = None) -> Ratio:
    """Both warmed once, then measured in turns."""
    work()
    base()
    ours, theirs = [], []
    gc.collect()
    for _ in range(rounds):
        theirs.append(seconds_of(base))
        ours.append(seconds_of(work))
    return Ratio(what, against, median(ours), median(theirs), aim)


def written(seconds: float) -> str:
    """Seconds with a unit that fits.

    >>> written(0.00123)
    '1.23 ms'
    """
    for unit, size in (("s", 1.0), ("ms", 1e-3)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds * 1e6:.3g} µs"


def table(ratios: list[Ratio]) -> str:
    """The ratios as a table, with what was aimed at."""
    head = ("what", "took", "against", "took", "ratio", "aim", "")
    rows = [head, *(_row(ratio) for ratio in ratios)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(head))]
    lines = [_line(head, widths), "  ".join("-" * width for width in widths)]
    return "\n".join(lines + [_line(row, widths) for row in rows[1:]])


def _row(ratio: Ratio) -> tuple[str, ...]:
    value = f"{ratio.value:.3g}"
    if ratio.aim is None:
        aim, met = "", ""
    else:
        aim, met = f"{ratio.aim:g}", "met" if ratio.value <= ratio.aim else "missed"
    return ratio.what, written(ratio.seconds), ratio.against, written(ratio.base_seconds), value, aim, met


def _line(row: tuple[str, ...], widths: list[int]) -> str:
    figures = {1, 3, 4, 5}
    cells = [
        cell.rjust(width) if place in figures else cell.ljust(width)
        for place, (cell, width) in enumerate(zip(row, widths, strict=True))
    ]
    return "  ".join(cells).rstrip()
