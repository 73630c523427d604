"""`cross-reference/`: numbers, chains, cars, upgrades, stamps, near matches, and who may know of them."""

from datetime import date
from urllib.parse import urlencode

import pytest

from catalog.codes import Role
from catalog.models import PartRule
from tests import factories as make

PATH = "cross-reference/"


def ask(api, number: str, **more: str):
    return api.get(f"{PATH}?{urlencode({'number': number, **more})}")


@pytest.fixture
def chain(small) -> None:
    """0815-X > TK 804 6 > TK.804.7 (with rework)."""
    make.supersession("0815-X", "TK 804 6")
    make.supersession("TK 804 6", "TK.804.7", "with_rework")


def match(answer) -> dict:
    (found,) = answer.json()["matches"]
    return found


@pytest.mark.parametrize("spelling", ["TK 804-6", "tk804.6", "\uff34\uff2b8046", "TK\u00a08046"])
def test_every_spelling_of_the_normal_form_finds_the_number(chain, public, spelling):
    answer = ask(public, spelling)
    assert answer.status_code == 200
    assert answer.json()["asked"] == {"number": spelling, "normal": "TK8046", "issuer": None}
    assert match(answer)["number"] == "TK 804-6"


def test_the_chain_both_ways(chain, public):
    found = match(ask(public, "TK8046"))
    assert found["kind"] == "component"
    assert found["current"] == [{"number": "TK.804.7", "with_rework": True}]
    assert found["replaces"] == [{"number": "0815-X", "with_rework": False}]
    assert found["replaced_by"] == [{"number": "TK.804.7", "with_rework": True}]
    assert found["targets"] == [{"component": "C1", "part": None, "revision": None, "side": None, "via": None}]


def test_a_number_without_a_target_takes_the_nearest_forwards_and_says_so(chain, public):
    found = match(ask(public, "0815x"))
    assert found["kind"] == "other"
    assert found["targets"] == [{"component": "C1", "part": None, "revision": None, "side": None, "via": "TK 804-6"}]
    assert match(ask(public, "TK8047"))["targets"] == []  # what lies behind it tells nothing of what it is


def test_cars_and_upgrades_of_the_component(chain, public):
    found = match(ask(public, "TK8046"))
    (row,) = found["cars"]
    assert (row["component"], row["end"], row["axle"], row["location"]) == ("C1", "front", "FX1", "tension_link.inner")
    assert [car["variant"] for car in row["variants"]] == ["QN4-20-SAL", "QN4-25-EST"]
    assert row["variants"][0]["built_from"] == make.START.isoformat()
    assert [(one["part"], one["revision"], one["verdict"]) for one in found["upgrades"]] == [("LM-210", "B", "fits")]


def test_a_car_row_is_cut_to_both_windows_and_to_what_the_car_can_have(small, public):
    make.joint("C2", built_from=date(2016, 3, 1), built_to=date(2018, 7, 31), conditions="option.SPORT = yes")
    make.number("C2 1", component=make.component("C2"))
    (row,) = match(ask(public, "C21"))["cars"]
    assert row["conditions"] == "option.SPORT = yes"
    assert row["variants"] == [{"variant": "QN4-20-SAL", "built_from": "2016-03-01", "built_to": "2018-07-31"}]


def test_an_upgrade_that_depends_names_the_other_revisions(small, public):
    make.decision(make.revision("LM-210", "D"), conditions="body = estate")
    make.next_edition()
    (upgrade,) = match(ask(public, "TK8046"))["upgrades"]
    assert (upgrade["revision"], upgrade["verdict"]) == ("B", "fits")  # fits every car, though D is newer
    make.decision(make.revision("LM-210", "B"), "C1", "rejected", conditions="body = estate")
    make.next_edition()
    (upgrade,) = match(ask(public, "TK8046"))["upgrades"]
    assert (upgrade["revision"], upgrade["verdict"], upgrade["other_revisions"]) == ("D", "depends", ["B"])


def test_an_assembly_has_several_components_and_a_side(small, public):
    for code in ("C1", "C2"):
        make.number("ARM 1", kind="assembly", side="left", component=make.component(code))
    found = match(ask(public, "arm1"))
    assert [(one["component"], one["side"]) for one in found["targets"]] == [("C1", "left"), ("C2", "left")]
    assert {row["side"] for row in found["cars"]} == {"left"}


def test_one_match_an_issuer_and_the_issuer_restricts(small, public):
    make.number("TK8046", issuer="BETA", kind="other")
    assert [one["issuer"] for one in ask(public, "TK8046").json()["matches"]] == ["ALVA", "BETA"]
    assert match(ask(public, "TK8046", issuer="BETA"))["kind"] == "other"


def test_a_fastener_number_names_its_steps(small, public):
    step = make.operation("arm_off")
    make.fastener(step, "f2", number="FN 10-1", normal="FN101")
    make.number("FN 101", kind="fastener")
    found = match(ask(public, "fn-101"))
    assert found["fasteners"] == [{"axle": "FX1", "operation": "arm_off", "fastener": "f2"}]


def test_near_matches_folded_first_then_by_beginning(small, public):
    make.number("TK8O46", issuer="ORM")
    make.number("TK 8042", issuer="ORM")
    answer = ask(public, "TKB046").json()
    assert answer["matches"] == []
    assert answer["near"] == [
        {"issuer": "ALVA", "number": "TK 804-6", "by": "folded"},
        {"issuer": "ORM", "number": "TK8O46", "by": "folded"},
    ]
    assert [one["number"] for one in ask(public, "tk804").json()["near"]] == ["TK 8042", "TK 804-6"]
    assert ask(public, "tk").json()["near"] == []


def test_a_number_known_by_a_supersession_alone_is_near_too(small, public):
    make.supersession("ZX 80-1", "ZX 80-2")
    make.supersession("ZX 80-2", "TK 804-6")
    near = ask(public, "zx8o").json()["near"]
    assert [one["by"] for one in near] == []
    assert ask(public, "zx8o2").json()["near"] == [{"issuer": "ALVA", "number": "ZX 80-2", "by": "folded"}]
    assert [one["number"] for one in ask(public, "zx80").json()["near"]] == ["ZX 80-1", "ZX 80-2"]


def test_what_only_leads_to_a_hidden_number_is_near_to_staff_alone(small, public, api):
    make.number("HID 1", kind="part", part=make.part("LM-999"))
    make.supersession("ZX 80-1", "HID 1")
    assert ask(public, "zx80").json()["near"] == []
    assert [one["number"] for one in ask(api(Role.SALES), "zx80").json()["near"]] == ["ZX 80-1"]


def test_at_most_twenty_near_matches(small, public):
    for place in range(30):
        make.number(f"ZZ9{place:02d}", issuer="ORM")
    assert len(ask(public, "ZZ9").json()["near"]) == 20


@pytest.mark.parametrize("text", ["LM-210-B 2210", "lm-210-b 2210"])
def test_a_stamp_on_a_held_batch(small, public, text):
    stamp = ask(public, text).json()["stamp"]
    assert (stamp["part"], stamp["revision"], stamp["batch"], stamp["status"]) == ("LM-210", "B", "2210", "released")
    assert stamp["holds"] == [
        {"batch_from": "2209", "batch_to": "2212", "look_for": "play at the boot", "opened_on": "2023-01-15"}
    ]
    assert stamp["pairs_with"] == ["A", "B"]
    assert stamp["cars_href"] == "/api/v1/parts/LM-210/cars/"


def test_a_stamp_outside_the_held_batches_and_one_without_a_batch(small, public):
    assert ask(public, "LM-210-B 2213").json()["stamp"]["holds"] == []
    bare = ask(public, "LM-210-B").json()["stamp"]
    assert bare["batch"] is None
    assert len(bare["holds"]) == 1


def test_the_cause_of_a_hold_is_for_staff(small, public, api):
    assert "porous" not in ask(public, "LM-210-B 2210").content.decode()
    (hold,) = ask(api(Role.SALES), "LM-210-B 2210").json()["stamp"]["holds"]
    assert hold["cause"] == "porous casting"


def test_same_revision_both_sides_leaves_the_letter_alone(small, public):
    PartRule.objects.create(part=make.part("LM-210"), rule="same_revision_both_sides")
    assert ask(public, "LM-210-B").json()["stamp"]["pairs_with"] == ["B"]


@pytest.mark.parametrize(
    ("secret", "unknown"),
    [("LM-210-C 2210", "LM-210-Z 2210"), ("LM210C", "LM210Z"), ("LM400", "LM499"), ("LM-400-A", "LM-499-A")],
)
def test_what_the_public_may_not_know_is_as_if_it_were_not_there(small, public, api, secret, unknown):
    hidden, absent = ask(public, secret).json(), ask(public, unknown).json()
    assert (hidden["matches"], hidden["stamp"]) == (absent["matches"], absent["stamp"]) == ([], None)
    assert hidden["near"] == absent["near"]
    staff = ask(api(Role.SALES), secret).json()
    assert staff["matches"] or staff["stamp"]


def test_supersessions_of_a_hidden_number_are_hidden_with_it(small, public, api):
    make.supersession("OLD 1", "LM210C", issuer="HOUSE")
    make.supersession("OLD 1", "LM210", issuer="HOUSE")
    assert [one["number"] for one in match(ask(public, "OLD1"))["current"]] == ["LM210"]
    assert len(match(ask(api(Role.SALES), "OLD1"))["current"]) == 2


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("", "number"),
        ("number=--", "number"),
        ("number=TK8046&issuer=ALVO", "issuer"),
        ("number=1M8GDM9AXKP042788", "number"),
        ("number=TK8046&isuer=ALVA", "isuer"),
        ("number=TK8046&number=TK8047", "number"),
    ],
)
def test_bad_questions_name_the_field(small, public, query, field):
    answer = public.get(f"{PATH}?{query}")
    assert answer.status_code == 400
    assert [error["field"] for error in answer.json()["errors"]] == [field]
    assert "1M8GDM9AXKP042788" not in answer.content.decode()


def test_the_cost_of_a_look_up_does_not_grow_with_the_chain(small, public, django_assert_max_num_queries):
    for place in range(50):
        make.supersession(f"LONG {place}", f"LONG {place + 1}")
    with django_assert_max_num_queries(16):
        found = match(ask(public, "LONG 0"))
    assert found["current"] == [{"number": "LONG 50", "with_rework": False}]
