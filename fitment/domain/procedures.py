"""The facts a job is computed from: operations, ways, fasteners, equipment, bench work."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from catalog.codes import EquipmentSet

CAR_ZONE = "car"
Groups = tuple[tuple[str, ...], ...]
"""Groups of alternatives: of every group one is needed. Written `lift | stands; puller`."""


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """The minimum, the likely and the maximum minutes of a piece of work, exact decimals."""

    minimum: Decimal
    likely: Decimal
    maximum: Decimal

    @property
    def expected(self) -> Fraction:
        """(a + 4 m + b) / 6 in minutes, exact.

        >>> ThreePoint(Decimal(10), Decimal(15), Decimal(40)).expected
        Fraction(55, 3)
        """
        return (Fraction(self.minimum) + 4 * Fraction(self.likely) + Fraction(self.maximum)) / 6


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

    def times(self, sides: int) -> int:
        """How often it is done, and how often its fasteners are there."""
        return sides if self.per_side else 1

    def minutes(self, sides: int) -> Fraction:
        return self.expected * self.times(sides)


@dataclass(frozen=True, slots=True)
class Way:
    """One way in to a joint: of every group of operations one, and whether the piece comes out of the car."""

    code: str
    operations: Groups
    piece_out: bool = False


@dataclass(frozen=True, slots=True)
class AxleLocation:
    """Pieces at a location of an axle, per side or for the whole axle, and the ways in by code."""

    pieces: int = 1
    per_axle: bool = False
    ways: tuple[Way, ...] = ()
    title: str = ""

    def pieces_of(self, sides: int) -> int:
        return self.pieces if self.per_axle else self.pieces * sides


@dataclass(frozen=True, slots=True)
class AxleProcedures:
    """The procedures of one axle: operations by code, and its locations."""

    code: str
    end: str
    operations: Mapping[str, Operation]
    locations: Mapping[str, AxleLocation]


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
class PartWork:
    """What a job asks of a part; `changes` of the revision ordered, by (axle, operation, fastener)."""

    code: str
    revision: str
    kit_pieces: int = 1
    bench: Bench | None = None
    changes: Mapping[tuple[str, str, str], FastenerChange] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Goal:
    """A part ordered at a location of one end of the car."""

    part: PartWork
    end: str
    location: str

    @property
    def name(self) -> str:
        return f"{self.part.code} {self.place}"

    @property
    def place(self) -> str:
        return f"{self.end}.{self.location}"


@dataclass(frozen=True, slots=True)
class JobCar:
    """One possible car as a job sees it: its axle by end, and the operations its conditions take away.

    `order` tells possible cars of one variant apart: by first day, then by options, none before some.
    """

    variant: str
    axles: Mapping[str, str]
    absent: frozenset[str] = frozenset()
    order: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Workshop:
    """All that does not hang on the car: procedures by axle, equipment and hazards by code.

    One is equal to itself alone, so that what is worked out of it can be kept under it.
    """

    axles: Mapping[str, AxleProcedures]
    equipment: Mapping[str, Equipment] = field(default_factory=dict)
    hazards: Mapping[str, Hazard] = field(default_factory=dict)

    def location(self, car: JobCar, goal: Goal) -> AxleLocation:
        """Where a goal is on a car; the car has a recorded axle there."""
        return self.axles[car.axles[goal.end]].locations[goal.location]

    def pieces(self, stated: Sequence[str] = ()) -> frozenset[str]:
        """The pieces at hand: nothing stated or `shop` is everything, `home` what a home has, else what is listed."""
        match list(stated):
            case [] | [EquipmentSet.SHOP]:
                return frozenset(self.equipment)
            case [EquipmentSet.HOME]:
                return frozenset(code for code, piece in self.equipment.items() if piece.home)
        return frozenset(stated)


def are_at_hand(groups: Groups, equipment: frozenset[str]) -> bool:
    """Whether of every group of equipment one piece is at hand."""
    return all(any(code in equipment for code in group) for group in groups)


def pieces_used(groups: Groups, equipment: frozenset[str]) -> list[str]:
    """Of every group the first piece at hand, as written.

    >>> pieces_used((("lift", "stands"), ("puller",)), frozenset({"stands", "puller"}))
    ['stands', 'puller']
    """
    return [next(code for code in group if code in equipment) for group in groups]
