"""The words for the states of coverage; one place for pages and files. Pure."""

from collections.abc import Mapping

from fitment.coverage.states import State

LABELS: Mapping[State, str] = {
    State.RELEASED: "Covered",
    State.CARRY_OVER: "Carry over",
    State.TEST_FIT: "Test fit passed",
    State.PROTOTYPE: "Prototype or proposal",
    State.RESIZE: "Resize a blank",
    State.UNMEASURED: "Not measured",
    State.NEW_DESIGN: "New design",
    State.NOT_OFFERED: "Not offered",
    State.UNKNOWN: "Joint not known",
}
MEANINGS: Mapping[State, str] = {
    State.RELEASED: "every car has a part that fits",
    State.CARRY_OVER: "a released part drops in by measurement; no approval in force covers these cars",
    State.TEST_FIT: "a prototype passed on a car here",
    State.PROTOTYPE: "a prototype or a proposal stands for it",
    State.RESIZE: "a blank can be machined to fit",
    State.UNMEASURED: "a size is missing before anything can be said",
    State.NEW_DESIGN: "nothing we have can be made to fit",
    State.NOT_OFFERED: "we decided not to make it",
    State.UNKNOWN: "no original joint is recorded, or the records disagree",
}
