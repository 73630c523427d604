"""Is a tightening torque possible for its thread? T = K d F against the loads of ISO 898-1, on entry of a torque."""

import re
from dataclasses import dataclass
from math import pi, sqrt

from catalog.codes import Head

# ISO 261 / ISO 724 coarse pitch in mm by nominal diameter in mm (from memory)
COARSE_PITCH = {3: 0.5, 4: 0.7, 5: 0.8, 6: 1.0, 7: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0, 16: 2.0}
COARSE_PITCH |= {18: 2.5, 20: 2.5, 22: 2.5, 24: 3.0, 27: 3.0, 30: 3.5}

# ISO 898-1:2013 Table 3 (from memory): class -> (least tensile strength, stress under proof load), MPa
STRENGTH = {"4.6": (400, 225), "4.8": (420, 310), "5.6": (500, 280), "5.8": (520, 380), "6.8": (600, 440)}
STRENGTH |= {"8.8": (800, 580), "9.8": (900, 650), "10.9": (1040, 830), "12.9": (1220, 970)}
STRENGTH_8_8_ABOVE_16_MM = (830, 600)

# Shigley's Mechanical Engineering Design, Table 8-15 (from memory)
K_ZINC_PLATED = 0.2
K_BLACK_DRY = 0.3

UNCHECKED_HEADS = frozenset({Head.TAPER_NUT, Head.WHEEL_BOLT})

_METRIC = re.compile(r"M\s?(\d+(?:\.\d+)?)(?:\s?[x\u00d7*]\s?(\d+(?:\.\d+)?))?(?:\s?-.*)?", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class TorqueCheck:
    """What a torque means for its thread.

    state: `ok`; `warning` (above proof at K = 0.2); `refused` (above the ultimate load even at K = 0.3: a typing
    error); `unchecked` (thread or grade missing or not known: `missing` says which); `exempt` (no torque, tightened
    by angle, taper nut, wheel bolt). preload_n and limit_n: the figures compared, newtons.
    """

    state: str
    preload_n: float | None = None
    limit_n: float | None = None
    missing: str = ""


def metric_thread(text: str) -> tuple[float, float] | None:
    """Nominal diameter and pitch in mm of an ISO metric thread; the coarse pitch where none is written.

    >>> metric_thread("M12x1.5"), metric_thread("M10"), metric_thread("1/2-20 UNF")
    ((12.0, 1.5), (10.0, 1.5), None)
    """
    found = _METRIC.fullmatch(text.strip())
    if not found:
        return None
    diameter = float(found[1])
    pitch = float(found[2]) if found[2] else COARSE_PITCH.get(int(diameter)) if diameter.is_integer() else None
    return (diameter, pitch) if pitch and pitch < diameter else None


def nominal_diameter(text: str) -> int | None:
    """The whole millimetres of a metric thread, None for others."""
    found = _METRIC.fullmatch(text.strip())
    return int(float(found[1])) if found and float(found[1]).is_integer() else None


def stress_area(diameter: float, pitch: float) -> float:
    """Nominal stress area in mm2 of a metric thread; diameter and pitch in mm.

    References: ISO 898-1:2013 clause 9.1.6.1 with ISO 68-1 and ISO 724 (from memory).

    >>> round(stress_area(12, 1.75), 2)
    84.27
    """
    height = sqrt(3) / 2 * pitch
    pitch_diameter, root_diameter = diameter - 3 / 4 * height, diameter - 17 / 12 * height
    return pi / 4 * ((pitch_diameter + root_diameter) / 2) ** 2


def bolt_loads(diameter: float, pitch: float, grade: str) -> tuple[float, float] | None:
    """Proof load and least ultimate load in newtons; None for a property class that ISO 898-1 does not have.

    >>> [round(load, -2) for load in bolt_loads(10, 1.5, "10.9")]
    [48100.0, 60300.0]
    """
    strength = STRENGTH.get(grade.strip())
    if strength is None:
        return None
    if grade.strip() == "8.8" and diameter > 16:
        strength = STRENGTH_8_8_ABOVE_16_MM
    # the standard's tables multiply the nominal area, which they give to three figures
    area = float(f"{stress_area(diameter, pitch):.3g}")
    return strength[1] * area, strength[0] * area


def preload(torque_nm: float, diameter: float, nut_factor: float) -> float:
    """Preload in newtons of a torque in N m on a thread of a diameter in mm: F = T / (K d).

    Notes: a rule of thumb, good to a quarter either way.
    References: Shigley, eq. 8-27 (from memory).

    >>> preload(60, 10, 0.2)
    30000.0
    """
    return torque_nm / (nut_factor * diameter / 1000)


def check_torque(
    *, thread: str, grade: str, head: str = "", torque_nm: float | None = None, angle_deg: float | None = None
) -> TorqueCheck:
    """What a torque in N m means for a thread of a property class.

    >>> check_torque(thread="M8", grade="8.8", torque_nm=250).state
    'refused'
    >>> check_torque(thread="M12", grade="10.9", torque_nm=110).state
    'ok'
    """
    if torque_nm is None or angle_deg or head in UNCHECKED_HEADS:
        return TorqueCheck("exempt")
    size = metric_thread(thread)
    if size is None:
        return TorqueCheck("unchecked", missing="thread")
    loads = bolt_loads(*size, grade)
    if loads is None:
        return TorqueCheck("unchecked", missing="grade")
    proof, ultimate = loads
    dry = preload(float(torque_nm), size[0], K_BLACK_DRY)
    if dry > ultimate:
        return TorqueCheck("refused", dry, ultimate)
    plated = preload(float(torque_nm), size[0], K_ZINC_PLATED)
    return TorqueCheck("warning" if plated > proof else "ok", plated, proof)
