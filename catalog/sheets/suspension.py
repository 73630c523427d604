"""Suspension layouts, the executions of them, and the original joint at each place."""

from catalog.codes import End, LinkEnd, LinkRole, Per
from catalog.sheets.columns import (
    KEY,
    OPEN_KEY,
    OPTIONAL,
    REQUIRED,
    choice,
    code,
    conditions,
    development,
    groups,
    measure,
    own_code,
    text,
    whole,
    window_from,
    window_to,
    yes_no,
)
from catalog.sheets.sheet import Many, PlaceColumn, Sheet

TOPOLOGIES = Sheet(
    "topologies",
    "catalog.Topology",
    (
        own_code("topology", "The topology's code."),
        choice("end", End, REQUIRED, "The end of the car.", filter=True),
        text("title", REQUIRED, "What the layout is called."),
        text("note", OPTIONAL, "What else there is to say of it."),
    ),
)

LOCATIONS = Sheet(
    "locations",
    "catalog.Location",
    (
        code("topology", KEY, "The topology it belongs to.", of="topologies", filter=True),
        own_code("location", "The location's code; at one end of the car it means the same on every topology."),
        code("link", REQUIRED, "The link that the joint sits on.", filter=True),
        choice("link_end", LinkEnd, REQUIRED, "Which end of the link it is.", filter=True),
        text("title", REQUIRED, "What the joint is called."),
        choice("role", LinkRole, REQUIRED, "What it mostly carries.", filter=True),
        yes_no("in_range", OPTIONAL, "Whether our range covers it.", filter=True),
        text("also_called", OPTIONAL, "Other names the trade has for it."),
    ),
)

AXLES = Sheet(
    "axles",
    "catalog.Axle",
    (
        own_code("axle", "The axle's code."),
        choice("end", End, REQUIRED, "The end of the car.", filter=True),
        code("topology", REQUIRED, "Its suspension layout.", of="topologies", filter=True),
        text("title", OPTIONAL, "What the execution is called."),
    ),
)

JOINTS = Sheet(
    "joints",
    "catalog.Joint",
    (
        code("axle", KEY, "The axle.", of="axles"),
        code("location", KEY, "The location on the axle."),
        code("component", KEY, "The original joint that sits there.", of="components"),
        window_from("built_from", OPEN_KEY, "The first build day of cars that have it; empty: open."),
        window_to("built_to", OPTIONAL, "The last build day of cars that have it; empty: open."),
        conditions("conditions", OPEN_KEY, "Which cars have it; empty: all.", without=("built",)),
        yes_no("alternative", OPTIONAL, "Whether it overlaps with other rows on purpose, as a running change does."),
        text("tell_apart", OPTIONAL, "How alternatives are told apart."),
    ),
    places=(PlaceColumn(),),
    group=("axle", "location"),
    ordered=(("built_from", "built_to"),),
)

AXLE_LOCATIONS = Sheet(
    "axle_locations",
    "catalog.AxleLocation",
    (
        code("axle", KEY, "The axle.", of="axles"),
        code("location", KEY, "The location on the axle."),
        whole("pieces", OPTIONAL, "How many pieces sit there.", minimum=1),
        choice("per", Per, OPTIONAL, "Whether the pieces are counted by side or by axle.", default=Per.SIDE.value),
        *development(
            measure("rotation_deg", OPTIONAL, "The rotation asked, degrees each way.", places=4),
            measure("tilt_deg", OPTIONAL, "The tilt asked, degrees each way.", places=4),
            measure("static_tilt_deg", OPTIONAL, "The tilt at rest, degrees.", places=4, signed=True),
            measure("retention_n", OPTIONAL, "The force the seat must hold, N.", places=3),
        ),
    ),
    places=(PlaceColumn(),),
)

WAYS = Sheet(
    "ways",
    "catalog.Way",
    (
        code("axle", KEY, "The axle.", of="axles"),
        code("location", KEY, "The location on the axle."),
        own_code("way", "The code of this way in.", filter=False),
        groups("operations", REQUIRED, "The operations that reach the joint: one of each group."),
        yes_no("piece_out", OPTIONAL, "Whether the piece comes out of the car."),
    ),
    places=(PlaceColumn(),),
    many=(Many("operations", "catalog.WayOperation", "way", "operation", "operations", ("axle",), grouped=True),),
)
