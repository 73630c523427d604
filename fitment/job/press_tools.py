"""Pusher, receiving cup and press for a pressed-in part, in whole millimetres: the public figures."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from math import ceil

# common practice, no source
PUSHER_UNDER_BODY_MM = Decimal("0.5")
CUP_OVER_PIECE_MM = Decimal(1)
RATING_OVER_FORCE = 2
RATING_STEP_KN = 10


@dataclass(frozen=True, slots=True)
class PressSizes:
    """What press tools are made from, mm and N; None where not known.

    body_min, body_max: outside of the part; bore_max: the greatest bore, through which the old joint passes; eye:
    outside of the arm's eye; force: greatest press-in force.
    """

    body_min: Decimal | None
    body_max: Decimal | None
    bore_max: Decimal | None
    eye: Decimal | None
    force: float | None = None


@dataclass(frozen=True, slots=True)
class PressTools:
    """pusher_outside_mm and cup_outside_mm at most, cup_inside_mm at least; press_kn: rating of the press."""

    part: str
    place: str
    pusher_outside_mm: int | None
    cup_inside_mm: int | None
    cup_outside_mm: int | None
    press_kn: int | None


def press_tools(part: str, place: str, sizes: PressSizes) -> PressTools:
    """The press tools of one part at one place.

    The pusher stands on the housing's shoulder, half a millimetre inside the body; the cup lets the widest piece pass
    with a millimetre to spare and stays below the eye's outside; the press is rated at twice the force, up to the
    next 10 kN. Pusher and cup outside are rounded down, the cup's inside up.

    >>> sizes = PressSizes(Decimal("62.01"), Decimal("62.03"), Decimal("61.99"), Decimal(72), 21_000.0)
    >>> tools = press_tools("P", "front.x", sizes)
    >>> tools.pusher_outside_mm, tools.cup_inside_mm, tools.cup_outside_mm, tools.press_kn
    (61, 64, 71, 50)
    """
    passing = [size for size in (sizes.body_max, sizes.bore_max) if size is not None]
    pusher = _floor(sizes.body_min - PUSHER_UNDER_BODY_MM) if sizes.body_min is not None else None
    inside = _ceil(max(passing) + CUP_OVER_PIECE_MM) if passing else None
    outside = _ceil(sizes.eye) - 1 if sizes.eye is not None else None
    rating = None
    if sizes.force is not None and sizes.force > 0:
        rating = ceil(RATING_OVER_FORCE * sizes.force / 1000 / RATING_STEP_KN) * RATING_STEP_KN
    return PressTools(part, place, pusher, inside, outside, rating)


def _floor(size: Decimal) -> int:
    return int(size.to_integral_value(ROUND_FLOOR))


def _ceil(size: Decimal) -> int:
    return int(size.to_integral_value(ROUND_CEILING))
