"""The two sides of an interface and what the car asks: frozen data, sizes in mm, roughness in micrometres."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Annotated

from catalog.codes import Seat, Status
from fitment.answers.contract import Named
from fitment.engineering.constants import BOLT_CLEARANCE, CENTRE_OFFSET, DRAW_UP
from fitment.engineering.press_fit import MaterialProperties
from fitment.engineering.tolerances import Interval


@dataclass(frozen=True)
class ComponentInterface:
    """The original joint: sizes known (stated, else measured); None: not known.

    ``outside_stated`` names features whose measured mean lies outside the stated limits, ``recorded`` those of which
    anything is recorded, be it too little to use: one limit of two, one piece measured.
    """

    code: str
    bore: Interval | None = None
    seat_length: Interval | None = None
    clevis_gap: Interval | None = None
    bolt: Interval | None = None
    taper: Fraction | None = None
    taper_large: Interval | None = None
    centre_offset: Interval | None = None
    arm_material: MaterialProperties | None = None
    arm_outside_mm: float | None = None
    roughness_um: float | None = None
    outside_stated: tuple[str, ...] = ()
    recorded: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Blank:
    """What machining of a part can reach: limits of outside and sleeve, holes; None or empty: nothing."""

    outside: Interval | None = None
    sleeve: Interval | None = None
    holes_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class RevisionInterface:
    """One revision of a part with what its part adds; None: not known, or for limits the table's default.

    ``held``: an open hold on the whole revision; ``recorded``: those of sleeve and hole of which a limit is recorded.
    """

    part: str
    letter: str
    status: Status | str
    seat: Seat | str
    allows_rotation: bool
    allows_tilt: bool
    outside: Interval | None = None
    body_length_mm: float | None = None
    sleeve: Interval | None = None
    hole: Interval | None = None
    taper: Fraction | None = None
    taper_large_mm: float | None = None
    centre_offset_mm: float | None = None
    housing_bore_mm: float | None = None
    material: MaterialProperties | None = None
    roughness_um: float | None = None
    rotation_deg: float | None = None
    tilt_deg: float | None = None
    draw_up_mm: float | None = None
    clearance_mm: float | None = None
    offset_mm: float | None = None
    closure_um: float | None = None
    blank: Blank = field(default_factory=Blank)
    held: bool = False
    recorded: frozenset[str] = frozenset()

    @property
    def visible(self) -> bool:
        """Released, and no open hold on the whole revision."""
        return self.status == Status.RELEASED and not self.held

    @property
    def draw_up_limit_mm(self) -> float:
        return DRAW_UP.value if self.draw_up_mm is None else self.draw_up_mm

    @property
    def clearance_limit_mm(self) -> float:
        return BOLT_CLEARANCE.value if self.clearance_mm is None else self.clearance_mm

    @property
    def offset_limit_mm(self) -> float:
        return CENTRE_OFFSET.value if self.offset_mm is None else self.offset_mm


@dataclass(frozen=True, order=True)
class AxlePlace:
    """A location of an axle."""

    axle: str
    location: str


@dataclass(frozen=True)
class Demand:
    """What one place asks: rotation and tilt each way in degrees, hold in N; None: not recorded."""

    place: AxlePlace
    rotation_deg: float | None = None
    tilt_deg: float | None = None
    static_tilt_deg: float | None = None
    retention_n: float | None = None

    @property
    def whole_tilt_deg(self) -> float | None:
        """The tilt with the amount of the static tilt, whichever way that leans."""
        return None if self.tilt_deg is None else float(self.tilt_deg + abs(self.static_tilt_deg or 0))


@dataclass(frozen=True)
class GreatestDemand:
    """The greatest figure asked, where, and whether a place lacks it."""

    value: float | None
    place: AxlePlace | None
    unknown: bool


@dataclass(frozen=True)
class Demands:
    """What all places of a component ask together."""

    rotation: Annotated[GreatestDemand, Named("rotation_deg")]
    tilt: Annotated[GreatestDemand, Named("tilt_deg")]
    retention: Annotated[GreatestDemand, Named("retention_n")]


def demands_of(places: Sequence[Demand]) -> Demands:
    """What several places ask of one joint together: of each the greatest, in degrees and N, and where.

    Of equal ones the first place by axle and location counts. No place at all asks an unknown figure.

    >>> demands_of([Demand(AxlePlace("FX1", "a"), tilt_deg=3, static_tilt_deg=-2)]).tilt.value
    5.0
    >>> demands_of([]).rotation
    GreatestDemand(value=None, place=None, unknown=True)
    """
    ordered = sorted(places, key=lambda demand: demand.place)
    return Demands(
        rotation=_greatest([(demand.rotation_deg, demand.place) for demand in ordered]),
        tilt=_greatest([(demand.whole_tilt_deg, demand.place) for demand in ordered]),
        retention=_greatest([(demand.retention_n, demand.place) for demand in ordered]),
    )


def _greatest(figures: Sequence[tuple[float | None, AxlePlace]]) -> GreatestDemand:
    known = [(value, place) for value, place in figures if value is not None]
    unknown = len(known) < len(figures) or not figures
    value, place = max(known, key=lambda pair: pair[0], default=(None, None))
    return GreatestDemand(value, place, unknown)
