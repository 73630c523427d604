"""A job as data: exact minutes, codes for reasons. Wording is done where it leaves.

Names of operations are `axle/code`, places `end.location`. Minutes are of the sides done, None where the work is done
elsewhere. The code of a printed instruction rests on the names and values of these fields: `fitment.job.instruction`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalog.codes import Phase, Side, ToolKind, Verdict
from fitment.answers.fit import Car as AskedCar
from fitment.answers.fit import CatalogueRef
from fitment.domain.procedures import Bench


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool. code: the equipment's, the drive's, the range or torque in N m; usual: every drive of the kind is its
    standard's, none recorded."""

    kind: ToolKind
    code: str
    usual: bool = False


@dataclass(frozen=True, slots=True)
class FastenerLine:
    """A fastener of a plan. count: pieces on the sides done; usual: the drive is its standard's, not recorded."""

    operation: str
    fastener: str
    number: str
    count: int
    thread: str
    grade: str
    head: str
    drive: str
    usual: bool
    counter_hold: str
    torque_nm: Decimal | None
    angle_deg: Decimal | None
    tighten_at: str
    single_use: bool
    locking: str
    note: str


@dataclass(frozen=True, slots=True)
class JobStep:
    """One step. side: None where it is done once for the axle. hazards: codes. A `fit` step has a part, a place and
    pieces instead of an operation."""

    phase: Phase
    operation: str | None
    title: str
    text: str
    watch_for: str
    side: Side | None
    minutes: Fraction | None
    tools: tuple[Tool, ...] = ()
    fasteners: tuple[FastenerLine, ...] = ()
    hazards: tuple[str, ...] = ()
    elsewhere: bool = False
    part: str | None = None
    place: str | None = None
    pieces: int | None = None


@dataclass(frozen=True, slots=True)
class AfterWork:
    operation: str
    title: str
    minutes: Fraction | None
    elsewhere: bool


@dataclass(frozen=True, slots=True)
class BenchWork:
    """Bench work of one part of a plan."""

    part: str
    pieces: int
    minutes: Fraction | None
    elsewhere: bool
    bench: Bench


@dataclass(frozen=True, slots=True)
class PressTools:
    """pusher_outside_mm and cup_outside_mm at most, cup_inside_mm at least; press_kn: rating of the press."""

    part: str
    place: str
    pusher_outside_mm: int | None
    cup_inside_mm: int | None
    cup_outside_mm: int | None
    press_kn: int | None


@dataclass(frozen=True, slots=True)
class Kits:
    part: str
    revision: str
    pieces: int
    kits: int


@dataclass(frozen=True, slots=True)
class FastenersToOrder:
    """Pieces of one number; a fastener without a number stands by its operation and code."""

    number: str
    operation: str
    fastener: str
    count: int


@dataclass(frozen=True, slots=True)
class ToOrder:
    kits: tuple[Kits, ...]
    fasteners: tuple[FastenersToOrder, ...]
    consumables: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard of a job, with the steps it belongs to."""

    hazard: str
    title: str
    text: str
    operations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AddablePart:
    """A part that could be fitted too, with the minutes (after-work included) and grades it would add."""

    part: str
    end: str
    location: str
    revision: str
    extra_minutes: Fraction
    extra_grade: int


@dataclass(frozen=True, slots=True)
class EquipmentGap:
    """A piece of equipment that the plan uses, and the minutes more without it; None: no plan without it."""

    equipment: str
    extra_minutes: Fraction | None


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
    """What is computed of a job; the car as asked, verdicts and rules stand beside it in `Job`."""

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
    steps: tuple[JobStep, ...]
    bench: tuple[BenchWork, ...]
    tools: tuple[Tool, ...]
    press_tools: tuple[PressTools, ...]
    fasteners: tuple[FastenerLine, ...]
    to_order: ToOrder
    cautions: tuple[Caution, ...]
    saved_minutes: Fraction
    while_in_there: tuple[AddablePart, ...]
    equipment_gaps: tuple[EquipmentGap, ...]
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
    side: Side
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


@dataclass(frozen=True, slots=True)
class InstructionChange:
    """A row that an edition added, changed or removed, and which of its columns."""

    edition: int
    sheet: str
    row: str
    action: str
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class InstructionCheck:
    """`current`: today's job has the same code. `now` is None where there is no job today, for `reason`."""

    code: str
    current: bool
    now: str | None
    reason: str | None
    detail: str | None
    since: int | None
    changes: tuple[InstructionChange, ...]
