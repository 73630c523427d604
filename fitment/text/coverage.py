"""The words for the states of coverage; one place for pages and files. Pure."""

from collections.abc import Mapping

from catalog.codes import CoverageState

LABELS: Mapping[CoverageState, str] = {
    CoverageState.RELEASED: "Covered",
    CoverageState.CARRY_OVER: "Carry over",
    CoverageState.TEST_FIT: "Test fit passed",
    CoverageState.PROTOTYPE: "Prototype or proposal",
    CoverageState.RESIZE: "Resize a blank",
    CoverageState.UNMEASURED: "Not measured",
    CoverageState.NEW_DESIGN: "New design",
    CoverageState.NOT_OFFERED: "Not offered",
    CoverageState.UNKNOWN: "Joint not known",
}
MEANINGS: Mapping[CoverageState, str] = {
    CoverageState.RELEASED: "every car has a part that fits",
    CoverageState.CARRY_OVER: "a released part drops in by measurement; no approval in force covers these cars",
    CoverageState.TEST_FIT: "a prototype passed on a car here",
    CoverageState.PROTOTYPE: "a prototype or a proposal stands for it",
    CoverageState.RESIZE: "a blank can be machined to fit",
    CoverageState.UNMEASURED: "a size is missing before anything can be said",
    CoverageState.NEW_DESIGN: "nothing we have can be made to fit",
    CoverageState.NOT_OFFERED: "we decided not to make it",
    CoverageState.UNKNOWN: "no original joint is recorded, or the records disagree",
}
