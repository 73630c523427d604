"""The two sides of an interface and what the car asks: frozen data, sizes in mm, roughness in micrometres."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from fitment.engineering.press_fit import Material
from fitment.engineering.tolerances import Interval


@dataclass(frozen=True)
class Component:
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
    arm_material: Material | None = None
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
class Revision:
    """One revision of a part with what its part adds; None: not known, or for limits the table's default.

    ``held``: an open hold on the whole revision; ``recorded``: those of sleeve and hole of which a limit is recorded.
    """

    part: str
    letter: str
    status: str
    seat: str
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
    material: Material | None = None
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
        return self.status == "released" and not self.held


@dataclass(frozen=True, order=True)
class Place:
    """A location of an axle."""

    axle: str
    location: str


@dataclass(frozen=True)
class Demand:
    """What one place asks: rotation and tilt each way in degrees, hold in N; None: not recorded."""

    place: Place
    rotation_deg: float | None = None
    tilt_deg: float | None = None
    static_tilt_deg: float | None = None
    retention_n: float | None = None


@dataclass(frozen=True)
class Asked:
    """The greatest figure asked, where, and whether a place lacks it."""

    value: float | None
    place: Place | None
    unknown: bool


@dataclass(frozen=True)
class Demands:
    """What all places of a component ask together."""

    rotation: Asked
    tilt: Asked
    retention: Asked


def demands_of(places: Sequence[Demand]) -> Demands:
    """What several places ask of one joint together.

    Parameters
    ----------
    places : what each place asks, degrees and N

    Returns
    -------
    the greatest of each with its place (of equal ones the first by axle and location), degrees and N

    Notes
    -----
    Tilt asked is the tilt with the amount of the static tilt. No place at all asks an unknown figure.

    References
    ----------
    Definition of the project.

    Examples
    --------
    >>> place = Place("FX1", "lower_arm.rear")
    >>> demands_of([Demand(place, rotation_deg=15, tilt_deg=3, static_tilt_deg=-2)]).tilt.value
    5.0
    >>> demands_of([]).rotation
    Asked(value=None, place=None, unknown=True)
    """
    ordered = sorted(places, key=lambda demand: demand.place)
    return Demands(
        rotation=_greatest([(demand.place, demand.rotation_deg) for demand in ordered]),
        tilt=_greatest([(demand.place, _tilt(demand)) for demand in ordered]),
        retention=_greatest([(demand.place, demand.retention_n) for demand in ordered]),
    )


def _tilt(demand: Demand) -> float | None:
    if demand.tilt_deg is None:
        return None
    return float(demand.tilt_deg + abs(demand.static_tilt_deg or 0))


def _greatest(figures: Sequence[tuple[Place, float | None]]) -> Asked:
    known = [(value, place) for place, value in figures if value is not None]
    unknown = len(known) < len(figures) or not figures
    if not known:
        return Asked(None, None, unknown)
    value, place = max(known, key=lambda pair: pair[0])
    return Asked(value, place, unknown)
