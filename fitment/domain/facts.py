"""The facts that the rules read, as frozen data. Pure.

Variants, parts and revisions are compared by identity: each is read once and stands for itself.
"""

from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from datetime import date

from catalog.codes import CarAttribute, End, Status
from catalog.conditions import NONE, Conditions
from catalog.windows import ALWAYS, Window
from fitment.answers.fit import HoldNote, Paper, RuleNote

Place = tuple[str, str]
"""An end of the car and the code of a location."""


@dataclass(frozen=True, slots=True)
class Option:
    """Factory equipment; options of one group exclude each other, a required group always has one."""

    code: str
    group: str = ""
    required: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Variant:
    """One car as the maker sold it; `options` it can have, `standard` ones it always has."""

    code: str
    maker: str
    chassis: str
    designation: str
    body: str
    engine: str
    drivetrain: str
    steering: str
    market: str
    built_from: date
    built_to: date | None = None
    front_axle: str | None = None
    rear_axle: str | None = None
    options: frozenset[str] = frozenset()
    standard: frozenset[str] = frozenset()
    in_operation: int = 0

    def axle(self, end: str) -> str | None:
        return self.front_axle if end == End.FRONT else self.rear_axle

    def value(self, attribute: str) -> str:
        """The value of an attribute as questions and conditions name it: `variant` is the code."""
        value: str = self.code if attribute == CarAttribute.VARIANT else getattr(self, attribute)
        return value


@dataclass(frozen=True, slots=True)
class Joint:
    """A component at a place of an axle, in a production window and under conditions."""

    component: str
    window: Window = ALWAYS
    conditions: Conditions = NONE
    alternative: bool = False
    tell_apart: str = ""


@dataclass(frozen=True, slots=True)
class Axle:
    """One execution of a suspension: the locations of its topology with whether our range covers them."""

    code: str
    end: str
    locations: Mapping[str, bool]
    joints: Mapping[str, tuple[Joint, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class FitDecision:
    """An engineer's word that a revision replaces a component: approved, rejected or proposed."""

    decision: str
    decided_on: date
    conditions: Conditions = NONE
    orientation_deg: str = ""
    orientation_from: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class TestFit:
    """A revision tried on a real car of this drivetrain and steering side."""

    __test__ = False  # the name is the trade's; pytest would collect the class

    axle: str
    location: str
    component: str
    done_on: date
    passed: bool
    drivetrain: str
    steering: str


@dataclass(frozen=True, slots=True, eq=False)
class Revision:
    """A lettered edition of a part; `held`: an open hold on the whole revision.

    `exchange` is towards the revision before it; decisions and test fits are by component. `holds` are all open
    ones, with their causes.
    """

    letter: str
    status: str
    held: bool = False
    exchange: str = ""
    decisions: Mapping[str, tuple[FitDecision, ...]] = field(default_factory=dict)
    tests: Mapping[str, tuple[TestFit, ...]] = field(default_factory=dict)
    holds: tuple[HoldNote, ...] = ()

    @property
    def visible(self) -> bool:
        """Released, and no open hold on the whole revision: the ones a verdict is made of."""
        return self.status == Status.RELEASED and not self.held


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A design with its revisions, oldest first (letters order by length, then letters)."""

    code: str
    duty: str = ""
    technology: str = ""
    revisions: tuple[Revision, ...] = ()
    papers: tuple[Paper, ...] = ()
    rules: tuple[RuleNote, ...] = ()

    def newest_first(self) -> tuple[Revision, ...]:
        return self.revisions[::-1]

    def visible(self) -> tuple[Revision, ...]:
        """The visible revisions, newest first."""
        return tuple(revision for revision in self.revisions[::-1] if revision.visible)


@dataclass(frozen=True, slots=True, eq=False)
class Facts:
    """All that one answer reads.

    `variants` may be more than the question leaves; `parts` are those with a decision on a component of the
    axles here, and those asked for by name. `placements` has, for the components of the latter, every place of
    the whole catalogue; `location_ends` the ends at which a location code exists. `drops_in` has (part,
    revision, component, axle, location) whose interface works out by measurement. `newer` has, by component, the
    components that its number chain leads on to.
    """

    variants: tuple[Variant, ...]
    axles: Mapping[str, Axle]
    options: Mapping[str, Option]
    parts: Mapping[str, Part]
    as_of: date | None = None
    placements: Mapping[str, frozenset[Place]] = field(default_factory=dict)
    location_ends: Mapping[str, frozenset[str]] = field(default_factory=dict)
    drops_in: Container[tuple[str, str, str, str, str]] = frozenset()
    newer: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
