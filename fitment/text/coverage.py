"""The words of coverage, for its pages and files. Pure."""

from collections.abc import Iterable, Mapping

from catalog.codes import CoverageState
from catalog.nearest import unknown

MEANINGS: Mapping[CoverageState, str] = {
    CoverageState.RELEASED: "every car has a part that fits",
    CoverageState.NOT_OFFERED: "we decided not to make it",
    CoverageState.CARRY_OVER: "a released part drops in by measurement; no approval in force covers these cars",
    CoverageState.TEST_FIT: "a prototype passed on a car here",
    CoverageState.PROTOTYPE: "a prototype or a proposal stands for it",
    CoverageState.RESIZE: "a blank can be machined to fit",
    CoverageState.UNMEASURED: "a size is missing before anything can be said",
    CoverageState.NEW_DESIGN: "nothing we have can be made to fit",
    CoverageState.UNKNOWN: "no original joint is recorded, or the records disagree",
}
GROUP_VERDICTS = {
    "rejected": "rejected",
    "failed": "failed in a test",
    "proposed": "proposed",
    "tried": "passed on such a car",
}
"""What is said of revisions on uncovered cars, by the name it has of `GroupVerdicts`."""
SWITCHES = {"uncovered": "Only with uncovered cars", "demand": "Only with enquiries"}
YES_OR_NOTHING = "Write yes, or leave it out."
WHOLE_NUMBER = "Write a whole number from 1 on."
DEMANDS = {
    "rotation": ("Rotation each way", "°"),
    "tilt": ("Tilt each way", "°"),
    "retention": ("Hold of the press fit", "N"),
}
"""What is asked of a joint, and its unit, by the name it has of `Demands`."""
TEST_FIT_MISSING = "a test fit on a car"


def unknown_filter(name: str, value: str, known: Iterable[str]) -> str:
    """A filter's value that nobody knows, with the nearest that is.

    >>> unknown_filter("chassis", "QN44", ["QN4"])
    "Chassis 'QN44' is not known; the nearest is 'QN4'."
    """
    text = unknown(name, value, known)
    return f"{text[:1].upper()}{text[1:]}."


def matrix_label(chassis: str, joint: str, state: CoverageState, uncovered: str) -> str:
    """A cell of the matrix, as it is read aloud."""
    return f"{chassis}, {joint}: {state.word}, {uncovered} cars uncovered"
