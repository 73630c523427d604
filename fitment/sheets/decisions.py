"""What engineers and developers say: decisions on components, and the standing word on places."""

from catalog.codes import Decision, Position
from catalog.sheets.columns import (
    KEY,
    OPEN_KEY,
    OPTIONAL,
    REQUIRED,
    choice,
    code,
    conditions,
    day,
    development,
    measure,
    text,
)
from catalog.sheets.parts import REVISION
from catalog.sheets.sheet import Place, Sheet

FIT_DECISIONS = Sheet(
    "fit_decisions",
    "fitment.FitDecision",
    development(
        code("part", KEY, "The part.", filter=True),
        code("revision", KEY, "The letter of the revision.", filter=True),
        code("component", KEY, "The original joint that it replaces.", of="components", filter=True),
        conditions("conditions", OPEN_KEY, "The cars for which it is so; empty: all."),
        choice("decision", Decision, KEY, "What was decided.", filter=True),
        day("decided_on", REQUIRED, "The day it was decided."),
        measure("orientation_deg", OPTIONAL, "How it is turned when fitted, degrees.", places=4, signed=True),
        text("orientation_from", OPTIONAL, "The mark from which it is turned."),
        text("remark", OPTIONAL, "A remark that is shown with the answer."),
    ),
    references=(REVISION,),
    group=("part", "revision", "component"),
)

STANCES = Sheet(
    "stances",
    "fitment.Stance",
    development(
        code("axle", KEY, "The axle.", of="axles", filter=True),
        code("location", KEY, "The location on the axle.", filter=True),
        choice("stance", Position, REQUIRED, "Whether a part is wanted there, in work, or not offered.", filter=True),
        text("reason", OPTIONAL, "Why it is so."),
        text("next_step", OPTIONAL, "What comes next."),
    ),
    places=(Place(),),
)
