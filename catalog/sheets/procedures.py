"""How a car is opened: operations, fasteners, and what a revision changes at them."""

from catalog.codes import Head, IfAbsent, TightenAt
from catalog.numbers import normal_form
from catalog.sheets.columns import (
    KEY,
    OPTIONAL,
    REQUIRED,
    choice,
    code,
    codes,
    conditions,
    grade,
    groups,
    measure,
    number,
    own_code,
    text,
    whole,
    word,
    yes_no,
)
from catalog.sheets.parts import REVISION
from catalog.sheets.sheet import Many, Reference, Sheet

OPERATION = Reference(("axle", "operation"), "operations", "operation")
FASTENER = Reference(("axle", "operation", "fastener"), "fasteners", "fastener")

OPERATIONS = Sheet(
    "operations",
    "catalog.Operation",
    (
        code("axle", KEY, "The axle it is done at.", of="axles", filter=True),
        own_code("operation", "The operation's code."),
        text("title", REQUIRED, "What is done."),
        text("text", OPTIONAL, "How it is done."),
        text("watch_for", OPTIONAL, "What to watch for."),
        word("zone", OPTIONAL, "Its zone; `car` serves both axles.", filter=True),
        yes_no("per_side", REQUIRED, "Whether it is done on each side.", filter=True),
        measure("remove_min", REQUIRED, "The least time to remove, minutes.", places=4),
        measure("remove_likely", REQUIRED, "The most likely time to remove, minutes.", places=4),
        measure("remove_max", REQUIRED, "The greatest time to remove, minutes.", places=4),
        measure("refit_min", REQUIRED, "The least time to refit, minutes.", places=4),
        measure("refit_likely", REQUIRED, "The most likely time to refit, minutes.", places=4),
        measure("refit_max", REQUIRED, "The greatest time to refit, minutes.", places=4),
        grade("skill", REQUIRED, "The skill it takes, 1 to 5.", filter=True),
        groups("needs", OPTIONAL, "The operations that must come first: one of each group.", filter=True),
        codes("entails", OPTIONAL, "The operations that must then be done too."),
        groups("equipment", OPTIONAL, "The equipment it needs: one of each group.", filter=True),
        codes("consumables", OPTIONAL, "What it uses up.", filter="consumable"),
        codes("hazards", OPTIONAL, "The dangers it brings.", filter="hazard"),
        yes_no("alignment", OPTIONAL, "Whether an alignment follows.", filter=True),
        conditions("conditions", OPTIONAL, "Which cars have it; empty: all.", without=("axle", "location")),
        choice("if_absent", IfAbsent, OPTIONAL, "What it means where the conditions do not hold."),
    ),
    many=(
        Many("needs", "catalog.OperationNeed", "operation", "needed", "operations", ("axle",), grouped=True),
        Many("entails", "catalog.OperationEntail", "operation", "entailed", "operations", ("axle",)),
        Many("equipment", "catalog.OperationEquipment", "operation", "equipment", "equipment", grouped=True),
        Many("consumables", "catalog.OperationConsumable", "operation", "consumable", "equipment"),
        Many("hazards", "catalog.OperationHazard", "operation", "hazard", "hazards"),
    ),
    ordered=(("remove_min", "remove_likely", "remove_max"), ("refit_min", "refit_likely", "refit_max")),
)

FASTENERS = Sheet(
    "fasteners",
    "catalog.Fastener",
    (
        code("axle", KEY, "The axle."),
        code("operation", KEY, "The operation that loosens it."),
        own_code("fastener", "The fastener's code.", filter=False),
        number("number", OPTIONAL, "Its part number, as the car maker prints it."),
        whole("count", REQUIRED, "How many there are.", minimum=1),
        word("thread", OPTIONAL, "Its thread."),
        word("grade", OPTIONAL, "Its strength grade."),
        choice("head", Head, OPTIONAL, "What the tool holds."),
        word("drive", OPTIONAL, "The size of the tool that turns it."),
        word("counter_hold", OPTIONAL, "The size of the tool that holds against it."),
        measure("torque_nm", OPTIONAL, "The torque it is tightened to, N m.", places=3),
        measure("angle_deg", OPTIONAL, "The angle it is then turned by, degrees.", places=3),
        choice("tighten_at", TightenAt, OPTIONAL, "When it is tightened; empty: when it is fitted."),
        yes_no("single_use", OPTIONAL, "Whether it is replaced each time."),
        text("source", OPTIONAL, "Where the torque is stated."),
        text("note", OPTIONAL, "What else there is to say of it."),
    ),
    references=(OPERATION,),
    group=("axle", "operation"),
    computed={"normal": ("number", normal_form)},
)

FASTENER_CHANGES = Sheet(
    "fastener_changes",
    "catalog.FastenerChange",
    (
        code("part", KEY, "The part."),
        code("revision", KEY, "The letter of the revision that changes it."),
        code("axle", KEY, "The axle."),
        code("operation", KEY, "The operation."),
        code("fastener", KEY, "The fastener that is changed."),
        whole("supplied", OPTIONAL, "How many pieces one kit supplies."),
        measure("torque_nm", OPTIONAL, "The torque it is tightened to then, N m.", places=3),
        measure("angle_deg", OPTIONAL, "The angle it is turned by then, degrees.", places=3),
        text("locking", OPTIONAL, "How it is locked then."),
    ),
    references=(REVISION, FASTENER),
)
