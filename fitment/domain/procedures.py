"""The facts a job is computed from: operations, ways, fasteners, equipment, bench work, recorded times."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

CAR_ZONE = "car"
Groups = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """Least, likely and most minutes of a piece of work, exact decimals."""

    least: Decimal
    likely: Decimal
    most: Decimal

    @property
    def expected(self) -> Fraction:
        """(a + 4 m + b) / 6 in minutes, exact.

        >>> ThreePoint(Decimal(10), Decimal(15), Decimal(40)).expected
        Fraction(55, 3)
        """
        return (Fraction(self.least) + 4 * Fraction(self.likely) + Fraction(self.most)) / 6


@dataclass(frozen=True, slots=True)
class Fastener:
    """A screw, bolt or nut of an operation: `count` per side where the operation is; N m and degrees."""

    code: str
    count: int = 1
    number: str = ""
    thread: str = ""
    grade: str = ""
    head: str = ""
    drive: str = ""
    counter_hold: str = ""
    torque_nm: Decimal | None = None
    angle_deg: Decimal | None = None
    tighten_at: str = ""
    single_use: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Operation:
    """One step of opening the car at an axle. Expected minutes to remove and to refit, of one side if `per_side`."""

    axle: str
    code: str
    remove: Fraction
    refit: Fraction = Fraction(0)
    title: str = ""
    text: str = ""
    watch_for: str = ""
    zone: str = ""
    per_side: bool = False
    skill: int = 1
    needs: Groups = ()
    entails: tuple[str, ...] = ()
    equipment: Groups = ()
    consumables: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    alignment: bool = False
    conditions: str = ""
    if_absent: str = ""
    fasteners: tuple[Fastener, ...] = ()

    @property
    def name(self) -> str:
        return f"{self.axle}/{self.code}"

    @property
    def expected(self) -> Fraction:
        return self.remove + self.refit

    def minutes(self, sides: int) -> Fraction:
        return self.expected * (sides if self.per_side else 1)

    def times(self, sides: int) -> int:
        """How often its fasteners are there."""
        return sides if self.per_side else 1


@dataclass(frozen=True, slots=True)
class Way:
    """One way in to a joint: of every group of operations one, and whether the piece comes out of the car."""

    code: str
    operations: Groups
    piece_out: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """Pieces at a location of an axle, per side or for the whole axle, and the ways in by code."""

    pieces: int = 1
    per_axle: bool = False
    ways: tuple[Way, ...] = ()
    title: str = ""

    def pieces_of(self, sides: int) -> int:
        return self.pieces if self.per_axle else self.pieces * sides


@dataclass(frozen=True, slots=True)
class Axle:
    """The procedures of one axle: operations by code, places by location."""

    code: str
    end: str
    operations: Mapping[str, Operation]
    places: Mapping[str, Place]


@dataclass(frozen=True, slots=True)
class Equipment:
    code: str
    title: str = ""
    consumable: bool = False
    home: bool = False
    least_grade: int | None = None


@dataclass(frozen=True, slots=True)
class Hazard:
    code: str
    title: str = ""
    least_grade: int | None = None
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Bench:
    """Bench work on one piece of a part: expected minutes, skill, equipment."""

    expected: Fraction
    skill: int = 1
    equipment: Groups = ()


@dataclass(frozen=True, slots=True)
class FastenerChange:
    """What a revision changes at a fastener: pieces supplied per kit, torque, angle, locking."""

    supplied: int = 0
    torque_nm: Decimal | None = None
    angle_deg: Decimal | None = None
    locking: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """What a job asks of a part; `changes` of the revision ordered, by (axle, operation, fastener)."""

    code: str
    revision: str
    kit_pieces: int = 1
    bench: Bench | None = None
    changes: Mapping[tuple[str, str, str], FastenerChange] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Goal:
    """A part ordered at a location of one end of the car."""

    part: Part
    end: str
    location: str

    @property
    def name(self) -> str:
        return f"{self.part.code} {self.place}"

    @property
    def place(self) -> str:
        return f"{self.end}.{self.location}"


@dataclass(frozen=True, slots=True)
class Car:
    """One possible car as a job sees it: its axle by end, and the operations its conditions take away.

    `order` tells possible cars of one variant apart: by first day, then by options, none before some.
    """

    variant: str
    axles: Mapping[str, str]
    absent: frozenset[str] = frozenset()
    order: int = 0


@dataclass(frozen=True, slots=True)
class Workshop:
    """All that does not hang on the car: procedures by axle, equipment and hazards by code.

    `kept` holds what is worked out of these facts once; it is never part of what they say.
    """

    axles: Mapping[str, Axle]
    equipment: Mapping[str, Equipment] = field(default_factory=dict)
    hazards: Mapping[str, Hazard] = field(default_factory=dict)
    kept: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def shop(self) -> frozenset[str]:
        """Every piece of equipment."""
        return frozenset(self.equipment)

    def home(self) -> frozenset[str]:
        """What a home has."""
        return frozenset(code for code, piece in self.equipment.items() if piece.home)
