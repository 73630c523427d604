"""The words of the page on which a test fit, a size or a job time is recorded. Pure."""

from collections.abc import Iterable

LABELS = {
    "variant": "Car",
    "component": "Original joint",
    "outcome": "How it went",
    "findings": "What was seen",
    "done_on": "Done on",
    "serial": "Serial or batch of the piece",
    "km": "Kilometres since",
    "holder": "Who has the car",
    "out_on": "Given out on",
    "back_on": "Back on",
    "parts": "Parts",
    "minutes": "Minutes it took",
    "after_work": "Alignment and the like counted in",
    "equipment": "Worked with",
    "car": "A name for the car",
    "uncertainty_mm": "Uncertainty of the instrument",
    "measured_on": "Measured on",
    "mean_mm": "Mean",
    "samples": "Pieces measured",
    "spread_mm": "Spread of the pieces",
    "fitted": "Part and revision",
    "reading": "Readings",
}
HINTS = {
    "uncertainty_mm": "One standard uncertainty (k = 1), mm",
    "mean_mm": "mm",
    "spread_mm": "Standard deviation, mm",
    "car": "Made up, such as car-a; never a number plate",
    "km": "Whole kilometres",
    "samples": "Left empty where the readings stand above",
    "reading": "One box a piece, mm; the mean follows",
}
SEGMENTS = {
    "outcome": (("passed", "Passed"), ("passed_with_remarks", "With remarks"), ("failed", "Failed")),
    "side": (("left", "Left"), ("right", "Right"), ("both", "Both")),
    "after_work": (("no", "No"), ("yes", "Yes")),
    "equipment": (("shop", "The shop's tools"), ("home", "Home tools")),
}
"""Choices that stand side by side, in short words, by column."""
DECIDED_HERE = "Approved or proposed here"
TWICE_MEASURED = "stands beside single readings; leave mean, pieces and spread empty, or the readings"
NO_CAR = "No car meets these together."
JOINT_NOT_RECORDED = "original joint not recorded"


def not_a_size(text: str) -> str:
    return f"'{text[:20]}' is no size; write millimetres such as 62.013"


def measured_words(feature: str, pieces: int) -> str:
    """A feature with how often it was measured so far.

    >>> measured_words("bore", 3), measured_words("bolt", 0)
    ('Bore: 3 measured', 'Bolt: not measured')
    """
    return f"{feature.capitalize()}: {pieces} measured" if pieces else f"{feature.capitalize()}: not measured"


def draft_label(kind: str, car: str, place: Iterable[str]) -> str:
    """What is kept on the device, in a line.

    >>> draft_label("Test fit", "V1", ("RX1", "toe.inner")), draft_label("Job time", "", ())
    ('Test fit, V1 RX1 toe.inner', 'Job time, by code')
    """
    return f"{kind}, {' '.join(filter(None, (car, *place))) or 'by code'}"


def place_words(end: str, joint: str) -> str:
    """Where a part is, the end of the car first.

    >>> place_words("front axle", "Tension link")
    'front axle, tension link'
    """
    return f"{end}, {joint.lower()}"
