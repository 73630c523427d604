"""A job as data: exact minutes, codes for reasons. Wording is done where it leaves.

Names of operations are `axle/code`, places `end.location`. Minutes are of the sides done, None where the work is done
elsewhere. The code of a printed instruction rests on the names and values of these fields: `fitment.job.instruction`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from catalog.codes import SOME_FIT, ChangeAction, End, Phase, Side, TightenAt, ToolKind, Verdict
from fitment.answers.contract import INLINE, INTERNAL, MINUTES, As, FigureOrNull, Named, TextOrNull, Values, member
from fitment.answers.fit import CatalogueRef
from fitment.domain.procedures import Bench


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool: equipment, drive, counter-hold, torque wrench (range in N m), or a torque beyond all wrenches."""

    kind: ToolKind
    code: str
    usual: Annotated[bool, "Proposed by the standard of the head, not recorded."] = False


@dataclass(frozen=True, slots=True)
class FastenerLine:
    """A fastener of the plan, for the sides done; `usual`: the drive is its standard's, not recorded."""

    operation: str
    fastener: str
    number: TextOrNull
    count: int
    thread: str
    grade: str
    head: str
    drive: str
    usual: bool
    counter_hold: str
    torque_nm: FigureOrNull
    angle_deg: FigureOrNull
    tighten_at: Annotated[str, As(TightenAt, TightenAt)]
    single_use: bool
    locking: str
    note: str


@dataclass(frozen=True, slots=True)
class JobStep:
    """One step of work; `minutes` is null where it is done elsewhere, `side` where it is done once for the axle.

    A `fit` step has a part, a place and pieces instead of an operation. `text` is the operation's own.
    """

    phase: Phase
    operation: str | None
    title: str
    text: Annotated[str, INTERNAL]
    watch_for: str
    side: Side | None
    minutes: Annotated[Fraction | None, MINUTES]
    tools: tuple[Tool, ...] = ()
    fasteners: tuple[FastenerLine, ...] = ()
    hazards: Annotated[tuple[str, ...], Named("cautions")] = ()
    elsewhere: bool = False
    part: str | None = None
    place: str | None = None
    pieces: Annotated[int | None, INTERNAL] = None


@dataclass(frozen=True, slots=True)
class AfterWork:
    """After-work in order."""

    operation: str
    title: Annotated[str, INTERNAL]
    minutes: Annotated[Fraction | None, MINUTES]
    elsewhere: bool


@dataclass(frozen=True, slots=True)
class BenchWork:
    """Bench work of a part."""

    part: str
    pieces: int
    minutes: Annotated[Fraction | None, MINUTES]
    elsewhere: bool
    bench: Annotated[Bench, INTERNAL]


@dataclass(frozen=True, slots=True)
class PressTools:
    """Press tools in whole millimetres; null where a size is not recorded.

    pusher_outside_mm and cup_outside_mm at most, cup_inside_mm at least; press_kn: rating of the press.
    """

    part: str
    place: str
    pusher_outside_mm: int | None
    cup_inside_mm: int | None
    cup_outside_mm: int | None
    press_kn: int | None


@dataclass(frozen=True, slots=True)
class Kits:
    """Kits of a part."""

    part: str
    revision: str
    pieces: int
    kits: int


@dataclass(frozen=True, slots=True)
class FastenersToOrder:
    """Single-use fasteners of one number; one without a number stands by its operation and code."""

    number: TextOrNull
    operation: str
    fastener: str
    count: int


@dataclass(frozen=True, slots=True)
class ToOrder:
    """What to order."""

    kits: tuple[Kits, ...]
    fasteners: tuple[FastenersToOrder, ...]
    consumables: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """A danger with the steps it belongs to."""

    hazard: str
    title: str
    text: str
    operations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AddablePart:
    """A part that could be fitted too, with the minutes (after-work included) and grades it would add."""

    part: str
    end: Annotated[str, INTERNAL]
    location: Annotated[str, INTERNAL]
    revision: str
    extra_minutes: Annotated[Fraction, MINUTES]
    extra_grade: int

    @member
    def place(self) -> Annotated[str, Named("location")]:
        """`END.LOCATION`."""
        return f"{self.end}.{self.location}"


@dataclass(frozen=True, slots=True)
class EquipmentGap:
    """A piece of equipment that the plan uses, and the minutes more without it; null: there is no plan without it."""

    equipment: str
    extra_minutes: Annotated[Fraction | None, MINUTES]


@dataclass(frozen=True, slots=True)
class Home:
    """The plan of least grade with what a home has."""

    possible: bool
    grade: int | None = None
    grade_set_by: tuple[str, ...] = ()
    minutes: Annotated[Fraction | None, MINUTES] = None
    after_minutes: Annotated[Fraction | None, MINUTES] = None
    hours: float | None = None
    operations: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    elsewhere: Annotated[tuple[str, ...], INTERNAL] = ()
    bench_elsewhere: Annotated[tuple[str, ...], INTERNAL] = ()

    @member
    def all_elsewhere(self) -> Annotated[tuple[str, ...], Named("elsewhere")]:
        """Operations, then parts whose bench work is done elsewhere."""
        return (*self.elsewhere, *self.bench_elsewhere)


@dataclass(frozen=True, slots=True)
class JobPlan:
    """What is computed of a job; the car as asked, verdicts and rules stand beside it in `Job`."""

    shown: Annotated[str, INTERNAL]
    ways: Annotated[Mapping[str, str], INTERNAL]
    grade: int
    grade_set_by: tuple[str, ...]
    minutes: Annotated[Fraction, MINUTES]
    after_minutes: Annotated[Fraction, MINUTES]
    minutes_median: Annotated[Fraction | float, MINUTES]
    minutes_p80: Annotated[float, MINUTES]
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
    saved_minutes: Annotated[Fraction, MINUTES]
    while_in_there: tuple[AddablePart, ...]
    equipment_gaps: tuple[EquipmentGap, ...]
    home: Home
    titles: Annotated[Mapping[str, str], INTERNAL]


@dataclass(frozen=True, slots=True)
class OrderedPart:
    """A part of the job: where, which revision, the verdict on it, the way in."""

    part: str
    end: Annotated[str, As(End, End)]
    location: str
    revision: str
    verdict: Annotated[Verdict, Values(SOME_FIT)]
    title: Annotated[str, INTERNAL] = ""
    way: str = ""


@dataclass(frozen=True, slots=True)
class RuleAsked:
    """What a part asks of others; `met`: whether the job does it, null where only the fitter can see to it."""

    part: str
    rule: str
    other: str | None
    note: str
    met: bool | None


@dataclass(frozen=True, slots=True)
class PlannedCar:
    """The car, and the variant whose plan is shown."""

    stated: Annotated[dict[str, str | list[str]], "The parameters that state it; a list where one was repeated."]
    variants: tuple[str, ...]
    shown: str


@dataclass(frozen=True, slots=True)
class Job:
    """A job: the way in, how long, how hard, with what, and what follows.

    The same for every role. `instruction` is the short code of what is printed.
    """

    catalogue: CatalogueRef
    car: PlannedCar
    parts: tuple[OrderedPart, ...]
    side: Side
    equipment: Annotated[tuple[str, ...], INTERNAL]
    plan: Annotated[JobPlan, INLINE]
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
    """A row of the procedures that an edition changed, and which of its columns."""

    edition: int
    sheet: str
    row: str
    action: Annotated[str, As(ChangeAction, ChangeAction)]
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class InstructionCheck:
    """Whether a printed instruction is current: today's job has the same code."""

    code: Annotated[str, Named("instruction")]
    current: bool
    now: Annotated[str | None, "The code of today's; null where there is no job today."]
    reason: Annotated[str | None, "Why there is no job today."]
    detail: str | None
    since: Annotated[int | None, "The edition printed."]
    changes: tuple[InstructionChange, ...]
