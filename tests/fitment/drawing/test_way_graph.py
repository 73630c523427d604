"""The way-in graph: left to right by what rests on what, no two boxes on one spot, every line forwards."""

from hypothesis import given
from hypothesis import strategies as st

from fitment.drawing.way_graph import BOX_HEIGHT, BOX_WIDTH, StepNode, way_graph

NODES = [
    StepNode("raise", "Raise the car", "7 min", "chosen"),
    StepNode("wheel", "Take off the wheel", "14 min", "chosen"),
    StepNode("bolt", "Inner bolt out from below", "29 min", "chosen"),
    StepNode("other", "Subframe lowered", "321 min more", "other"),
    StepNode("goal", "LM-210 C", "Tension link, inner bush", "goal"),
    StepNode("align", "Wheel alignment", "43 min", "after"),
    StepNode("test", "Road test", "13 min", "after"),
]
LINKS = [
    ("raise", "wheel"), ("wheel", "bolt"), ("bolt", "goal"), ("raise", "other"), ("wheel", "other"),
    ("other", "goal"), ("align", "test"),
]  # fmt: skip


def test_from_the_outside_of_the_car_to_the_joint_then_after_work_behind_the_rule():
    graph = way_graph(NODES, LINKS)
    x = {box.node.name: box.x for box in graph.boxes}
    assert x["raise"] < x["wheel"] < x["bolt"] < x["goal"] < x["align"] < x["test"]
    assert graph.rule_x is not None
    assert x["goal"] + BOX_WIDTH < graph.rule_x < x["align"]


def test_a_way_not_taken_stands_below_and_branches_off_once():
    graph = way_graph(NODES, LINKS)
    boxes = {box.node.name: box for box in graph.boxes}
    assert boxes["other"].y > max(boxes[name].y for name in ("raise", "wheel", "bolt", "goal"))
    assert sum(wire.other for wire in graph.wires) == 2  # in from the latest step it rests on, out to the joint


def test_a_long_title_is_cut_with_an_ellipsis_and_kept_whole_in_the_node():
    title = "Steering rack unbolted from the subframe and tied up out of the way of the bolt"
    box = way_graph([StepNode("a", title, "", "chosen")], []).boxes[0]
    assert box.node.title == title
    assert len(box.lines) == 3
    assert box.lines[-1][1].endswith("\u2026")


@st.composite
def graphs(draw):
    count = draw(st.integers(1, 14))
    nodes = [StepNode(f"n{at}", f"Step {at}", "", "chosen") for at in range(count)] + [
        StepNode("g", "Goal", "", "goal")
    ]
    pairs = [(a, b) for b in range(count) for a in range(b)]
    links = draw(st.lists(st.sampled_from(pairs), max_size=24)) if pairs else []
    return nodes, [(f"n{a}", f"n{b}") for a, b in links] + [(f"n{count - 1}", "g")]


@given(graphs())
def test_boxes_never_cover_each_other_and_links_run_forwards(drawn):
    nodes, links = drawn
    graph = way_graph(nodes, links)
    boxes = {box.node.name: box for box in graph.boxes}
    assert all(boxes[a].x + BOX_WIDTH < boxes[b].x for a, b in links)
    spots = [(box.x, box.y) for box in graph.boxes]
    assert len(set(spots)) == len(spots)
    assert all(box.x + BOX_WIDTH <= graph.width and box.y + BOX_HEIGHT <= graph.height for box in graph.boxes)
