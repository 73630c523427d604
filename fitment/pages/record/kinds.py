"""The three things that are recorded on the workshop phone, and what each asks. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from statistics import mean, stdev

from fitment.text.record import not_a_size

READINGS = 5  # boxes for single readings
GREATEST = 10_000  # mm; no joint is as large
MOST_PLACES = Decimal("0.000001")  # as the sheet of measurements holds them


@dataclass(frozen=True, slots=True)
class RecordKind:
    """A form: its sheet, the columns that must be said and those that may (`more`, in a few words `more_words`).

    `day` is the column filled with today, `prefix` begins the references of rows that have one.
    """

    name: str
    label: str
    sheet: str
    open: tuple[str, ...]
    more: tuple[str, ...]
    day: str
    more_words: str
    prefix: str = ""

    @property
    def columns(self) -> tuple[str, ...]:
        return (*(("ref",) if self.prefix else ()), *self.open, *self.more)


TEST_FIT = RecordKind(
    "test-fit",
    "Test fit",
    "test_fits",
    ("variant", "axle", "location", "component", "part", "revision", "outcome", "side", "findings"),
    ("done_on", "serial", "km", "holder", "out_on", "back_on"),
    "done_on",
    "day, serial, kilometres, field car",
    "TF",
)
MEASUREMENT = RecordKind(
    "measurement",
    "Measurement",
    "measurements",
    ("component", "feature", "uncertainty_mm"),
    ("measured_on", "mean_mm", "samples", "spread_mm"),
    "measured_on",
    "day, or mean and spread",
)
JOB_TIME = RecordKind(
    "job-time",
    "Job time",
    "job_times",
    ("variant", "parts", "minutes", "side", "after_work"),
    ("done_on", "equipment", "car"),
    "done_on",
    "day, tools, a name for the car",
    "JT",
)
KINDS = {kind.name: kind for kind in (TEST_FIT, MEASUREMENT, JOB_TIME)}
DEFAULTS = {"side": "both", "after_work": "no", "equipment": "shop"}


def summarised(readings: Sequence[str]) -> dict[str, str]:
    """Single readings in mm as a row of the sheet has them: mean, pieces and standard deviation (n - 1).

    One reading has no spread. Raises ValueError with what is no size.

    >>> summarised(["62.010", "62,014", ""])
    {'mean_mm': '62.012', 'samples': '2', 'spread_mm': '0.002828'}
    """
    found = []
    for text in filter(None, (reading.strip() for reading in readings)):
        try:
            figure = Decimal(text.replace(",", "."))
        except InvalidOperation:
            figure = Decimal("NaN")
        if not figure.is_finite() or abs(figure) >= GREATEST:
            raise ValueError(not_a_size(text))
        found.append(figure)
    if not found:
        return {}
    spread = _rounded(stdev(found)) if len(found) > 1 else ""
    return {"mean_mm": _rounded(mean(found)), "samples": str(len(found)), "spread_mm": spread}


def _rounded(figure: Decimal) -> str:
    text = f"{figure.quantize(MOST_PLACES):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
