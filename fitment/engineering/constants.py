"""The one table of engineering constants: value, unit, source."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Constant:
    """One constant of the computations, with the unit it is counted in and where it comes from."""

    value: float
    unit: str
    source: str


FRICTION_HOLD = Constant(0.06, "1", "DIN 7190-1 section 5.2, aluminium alloy slipping (from memory)")
FRICTION_PRESS_IN = Constant(
    0.20, "1", "DIN 7190-1 section 5.3, degreased steel, highest steel-steel figure (from memory)"
)
SMOOTHING = Constant(0.8, "1", "DIN 7190:2001, of the sum of both Rz (2017: 0.4)")
ROUGHNESS_ARM = Constant(10.0, "um", "Rz where none is recorded: common practice")
ROUGHNESS_BODY = Constant(6.3, "um", "Rz where none is recorded: common practice")
DRAW_UP = Constant(0.5, "mm", "greatest draw-up of a clevis where none is recorded: common practice")
BOLT_CLEARANCE = Constant(0.5, "mm", "ISO 273 fine series at M10; closer than its 1 mm from M12 on")
CENTRE_OFFSET = Constant(0.5, "mm", "where none is recorded: common practice")
TAPER_LARGE = Constant(0.10, "mm", "difference of the large ends: common practice")
TOP_MOUNT_STIFFNESS = Constant(2000.0, "N/mm", "strut top mount where none is recorded: common practice")
TEMPERATURE_REFERENCE = Constant(20.0, "degC", "ISO 1: reference temperature of sizes")
TEMPERATURE_LEAST = Constant(-40.0, "degC", "coldest service: common practice")
TEMPERATURE_GREATEST = Constant(100.0, "degC", "hottest service beside a brake: common practice")
GRAVITY = Constant(9.80665, "m/s2", "standard gravity, NIST SP 811")
CONTENT = Constant(0.95, "1", "part of all pieces inside a tolerance interval, ISO 16269-6")
CONFIDENCE = Constant(0.95, "1", "confidence of a tolerance interval, ISO 16269-6")
POOLED_BELOW = Constant(10, "samples", "fewer take the spread of their process: common practice")
TRAVEL = Constant(80.0, "mm", "wheel travel up and down of the articulation: common practice")
TRAVEL_STEP = Constant(5.0, "mm", "positions of the articulation: common practice")

# Floats carry about 16 figures: a limit is closed, and what differs from it by less than this is on it.
ON_THE_LIMIT = Constant(1e-9, "of the unit judged", "rounding of binary fractions, not of sizes")

EFFORT_DAYS = {
    "carry_over": Constant(1, "day", "common practice, no source"),
    "test_fit": Constant(2, "day", "common practice, no source"),
    "unmeasured": Constant(3, "day", "common practice, no source"),
    "prototype": Constant(5, "day", "common practice, no source"),
    "resize": Constant(10, "day", "common practice, no source"),
    "new_design": Constant(40, "day", "common practice, no source"),
}
CARS_PER_ENQUIRY = Constant(100, "cars", "weight of one enquiry in the order of work: common practice")
