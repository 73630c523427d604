"""A job as data: exact minutes, codes for reasons. Wording is done where it leaves."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from catalog.codes import Verdict
from fitment.answers.fit import Car as AskedCar
from fitment.answers.fit import CatalogueRef
from fitment.domain.procedures import Bench
from fitment.job.cautions import Caution
from fitment.job.comparisons import Extra, Gap
from fitment.job.fasteners import FastenerLine
from fitment.job.press_tools import PressTools
from fitment.job.steps import Step
from fitment.job.to_order import ToOrder
from fitment.job.tools import Tool


@dataclass(frozen=True, slots=True)
class AfterWork:
    """After-work; minutes None where it is done elsewhere."""

    operation: str
    title: str
    minutes: Fraction | None
    elsewhere: bool


@dataclass(frozen=True, slots=True)
class BenchLine:
    """Bench work of a part; minutes None where it is done elsewhere."""

    part: str
    pieces: int
    minutes: Fraction | None
    elsewhere: bool
    bench: Bench


@dataclass(frozen=True, slots=True)
class Home:
    """Whether a home can do it, and the plan of least grade there."""

    possible: bool
    grade: int | None = None
    grade_set_by: tuple[str, ...] = ()
    minutes: Fraction | None = None
    after_minutes: Fraction | None = None
    hours: float | None = None
    operations: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    elsewhere: tuple[str, ...] = ()
    bench_elsewhere: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JobPlan:
    """What is computed of a job; the car as asked, verdicts and rules stand beside it in `answers.job.Job`."""

    shown: str
    ways: Mapping[str, str]
    grade: int
    grade_set_by: tuple[str, ...]
    minutes: Fraction
    after_minutes: Fraction
    minutes_median: Fraction | float
    minutes_p80: float
    observations: int
    hours: float
    hours_p80: float
    proven: bool
    varies: bool
    operations: tuple[str, ...]
    after: tuple[AfterWork, ...]
    steps: tuple[Step, ...]
    bench: tuple[BenchLine, ...]
    tools: tuple[Tool, ...]
    press_tools: tuple[PressTools, ...]
    fasteners: tuple[FastenerLine, ...]
    to_order: ToOrder
    cautions: tuple[Caution, ...]
    saved_minutes: Fraction
    while_in_there: tuple[Extra, ...]
    equipment_gaps: tuple[Gap, ...]
    home: Home
    titles: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class OrderedPart:
    """A part of the job: where, which revision, and the verdict on it."""

    part: str
    end: str
    location: str
    revision: str
    verdict: Verdict
    title: str = ""
    way: str = ""


@dataclass(frozen=True, slots=True)
class RuleAsked:
    """What a rule of a part asks; `met`: whether the job does it, None where only the fitter can see to it."""

    part: str
    rule: str
    other: str | None
    note: str
    met: bool | None


@dataclass(frozen=True, slots=True)
class Job:
    """A job as it is answered; `instruction` is the short code of what is printed."""

    catalogue: CatalogueRef
    car: AskedCar
    parts: tuple[OrderedPart, ...]
    side: str
    equipment: tuple[str, ...]
    plan: JobPlan
    rules: tuple[RuleAsked, ...]
    instruction: str = ""


@dataclass(frozen=True, slots=True)
class JobSummary:
    """What a fitment answer says of its job; `tools` is their number."""

    grade: int
    grade_set_by: tuple[str, ...]
    hours: float
    hours_p80: float
    minutes: Fraction
    after_minutes: Fraction
    tools: int
    after_work: tuple[str, ...]
    home: Home
