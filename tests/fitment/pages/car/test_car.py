"""The car's page: verdicts in words and shapes, the question, what is stated and how to change it, by role."""

import re
from datetime import date

import pytest

from catalog.codes import Role
from catalog.models import Joint
from fitment.models import TestFit
from tests import factories

CAR = "/car/?variant=QN4-20-SAL"


@pytest.fixture
def fork(small):
    """LM-210 B fits C1 and not C2: which joint a car has hangs on the engine."""
    factories.variant("QN4-25-EST", front_axle=factories.axle(), body="saloon", designation="20", engine="E25")
    Joint.objects.all().delete()
    factories.joint("C1", conditions="engine = E20")
    factories.joint("C2", conditions="engine = E25")
    factories.decision(factories.revision("LM-210", "B"), "C2", word="rejected")
    factories.next_edition()


def test_a_fit_says_its_verdict_why_and_how_well_it_is_known(small, open_page):
    page = open_page(CAR)
    assert "QN4 20 saloon" in page.text
    assert "Fits" in page.text
    assert "Approved by our engineers" in page.text
    assert "By decision, not yet tried" in page.text
    assert ("/part/LM-210/", "LM-210") in page.links


def test_the_same_number_stands_in_the_drawing_the_list_and_the_answers(small, open_page):
    page = open_page(CAR)
    key = "at-front-tension_link.inner"
    assert key in page.ids
    led = [said for href, said in page.links if href == f"#{key}"]
    assert len(led) == 2, "once from the drawing, once from the list"
    assert led[0].startswith("1, ")
    assert led[1].startswith("1 ")


def test_an_open_hold_says_what_to_look_for_and_its_cause_to_staff_only(small, client_of):
    public = client_of(Role.PUBLIC).get(CAR).content.decode()
    sales = client_of(Role.SALES).get(CAR).content.decode()
    assert "On hold: batches 2209 to 2212" in public
    assert "Cause:" not in public
    assert "Cause:" in sales


def test_the_public_sees_no_prototype_no_count_and_nothing_internal(small, client_of):
    public = client_of(Role.PUBLIC).get(CAR).content.decode()
    assert "LM-400" not in public
    assert "prototype" not in public
    assert "In operation" not in public
    assert "internal" not in public.lower().replace("internal hex", "")


def test_sales_see_other_revisions_and_cars_in_operation(small, client_of):
    page = client_of(Role.SALES).get(CAR).content.decode()
    assert "In operation: 1200" in page
    assert re.search(r"<td>C</td><td>prototype", page)


def test_a_doubtful_answer_is_a_question_and_every_choice_settles_it(fork, open_page):
    page = open_page("/car/?chassis=QN4&part=LM-210")
    assert "Which engine?" in page.text
    assert "Depends on the engine" in page.text
    verdicts = {engine: open_page(page.href(engine)).text for engine in ("E20", "E25")}
    assert "Fits" in verdicts["E20"]
    assert "Depends" not in verdicts["E20"]
    assert "Does not fit" in verdicts["E25"]


def test_dont_know_is_always_offered_and_remembered(fork, open_page):
    page = open_page("/car/?chassis=QN4&part=LM-210")
    later = page.href("Don't know")
    assert later == "/car/?chassis=QN4&part=LM-210&skip=engine"
    moved_on = open_page(later)
    assert "Which engine?" not in moved_on.text
    assert "not known" in moved_on.text


def test_each_stated_fact_can_be_taken_back(small, open_page):
    page = open_page("/car/?chassis=QN4&body=saloon&built=2018-05")
    assert page.href("Take back: Body saloon") == "/car/?chassis=QN4&built=2018-05"


def test_the_form_of_more_facts_keeps_what_is_stated(small, open_page):
    page = open_page("/car/?chassis=QN4&built=2018&built=2018-05..&part=LM-210&skip=body")
    hidden = [
        (name, one["value"]) for name, fields in page.fields.items() for one in fields if one.get("type") == "hidden"
    ]
    assert ("part", "LM-210") in hidden
    assert ("skip", "body") in hidden
    assert ("built", "2018-05..") in hidden, "a second value in one field would be lost and the car widened"
    assert page.fields["built"][-1]["value"] == "2018"
    assert "option.SPORT" in page.fields


def test_an_empty_form_field_states_nothing(small, open_page):
    assert "QN4 20 saloon" in open_page(f"{CAR}&body=&built=&engine=").text


def test_nothing_stated_is_the_first_page(small, client):
    assert client.get("/car/")["Location"] == "/"
    assert client.get("/car/?body=")["Location"] == "/"


@pytest.mark.parametrize(
    ("query", "said", "field"),
    [
        ("chassis=QN5", "the nearest is &#x27;QN4&#x27;", "chassis"),
        ("chassis=QN4&built=May", "YYYY-MM-DD", "built"),
        ("chassis=QN4&body=saloon&body=estate", "is stated twice", "body"),
        ("chasis=QN4", "the nearest is &#x27;chassis&#x27;", None),
        ("chassis=QN4&skip=colour", "colour", None),
    ],
)
def test_what_cannot_be_read_is_said_on_top_and_at_its_field(small, client, query, said, field):
    answer = client.get(f"/car/?{query}")
    page = answer.content.decode()
    assert answer.status_code == 400
    assert said in page
    assert 'role="alert"' in page
    if field is not None:
        assert f'href="#f-{field}"' in page
        assert f'id="f-{field}-error"' in page
        assert re.search(rf'id="f-{field}"[^>]*aria-invalid="true"', page)


def test_contradicting_facts_are_named_and_each_can_be_taken_back(small, open_page):
    page = open_page("/car/?chassis=QN4&engine=E20&body=estate", status=422)
    assert "No car meets these together" in page.text
    for href, said in page.links:
        if said.startswith("without"):
            open_page(href)
    assert sum(said.startswith("without") for _, said in page.links) == 2


def test_several_platforms_are_asked_apart_and_nothing_is_answered(small, open_page):
    factories.variant("ZR1-20-SAL", platform=factories.platform("ZR1"), front_axle=factories.axle())
    factories.next_edition()
    page = open_page("/car/?body=saloon")
    assert "Which chassis code?" in page.text
    assert "The joints" not in page.text
    assert "/car/?chassis=ZR1&body=saloon" in [href for href, _ in page.links]


def test_a_place_nobody_recorded_is_not_known_never_unfit(small, open_page):
    factories.location("lateral_link.inner", link="lateral_link", in_range=True)
    factories.next_edition()
    page = open_page(CAR)
    assert "Nobody has recorded which original joint this car has here" in page.text
    assert "Does not fit" not in page.text


def test_an_end_without_a_recorded_axle_is_said(small, open_page):
    assert "No suspension is recorded here" in open_page(CAR).text


def test_a_part_placed_nowhere_is_answered_without_a_place(small, client_of, open_page):
    factories.revision("LM-500", "A")
    factories.next_edition()
    page = open_page(f"{CAR}&part=LM-500")
    assert "placed nowhere yet" in page.text
    assert "Not known yet" in page.text


def test_work_on_the_car_is_shown_with_cautions_and_deference(small, open_page):
    page = open_page(CAR)
    assert "Before any work on the car" in page.text
    assert "The car maker's repair information comes first" in page.text


def test_what_changed_is_announced(fork, client):
    page = client.get("/car/?chassis=QN4&part=LM-210").content.decode()
    said = re.search(r'id="announce"[^>]*aria-live="polite">([^<]*)<', page)
    assert said is not None
    assert "1 depends" in said[1]
    assert "Next question: Which engine?" in said[1]


def test_the_answer_is_of_the_edition_shown(small, open_page):
    from catalog.models import Catalogue

    Catalogue.objects.update(edition=42, as_of=date(2026, 9, 30))
    assert "42, as of 2026-09-30" in open_page(CAR).text


def test_the_corner_is_to_scale_for_development_and_schematic_for_everybody_else(small, client_of):
    factories.corner(factories.axle())
    pages = {role: client_of(role).get(CAR).content.decode() for role in Role}
    assert {role for role, page in pages.items() if "to scale from its hardpoints" in page} == {
        Role.DEVELOPMENT, Role.EDITOR,
    }  # fmt: skip
    assert all("schematic, not to scale" in pages[role] for role in (Role.PUBLIC, Role.SALES))


def test_cars_with_different_axles_of_one_layout_are_drawn_schematic(small, client_of):
    factories.corner(factories.axle())
    factories.variant("QN4-25-EST", front_axle=factories.axle("FX2"))
    page = client_of(Role.DEVELOPMENT).get("/car/?chassis=QN4").content.decode()
    assert "to scale from" not in page


def test_developers_go_from_a_joint_to_its_coverage(small, client_of):
    """To the cell of the one axle that the cars have there; others see no such way."""
    clients = {role: client_of(role) for role in Role}

    def ways(role: Role) -> set[str]:
        page = clients[role].get("/car/?chassis=QN4").content.decode()
        return set(re.findall(r'href="(/coverage/[^"]+)"', page))

    (cell,) = ways(Role.DEVELOPMENT)
    assert cell == "/coverage/FX1/tension_link.inner/"
    assert clients[Role.DEVELOPMENT].get(cell).status_code == 200
    assert ways(Role.EDITOR) == {cell}
    assert ways(Role.PUBLIC) == ways(Role.SALES) == set()
    factories.variant("QN4-20-OTHER", front_axle=factories.axle("FX2"))
    factories.next_edition()
    assert ways(Role.DEVELOPMENT) == set()


def test_what_is_carried_over_says_from_which_revision(small, open_page):
    """B may replace A, which passed on this car."""
    TestFit.objects.create(
        ref="T9", revision=factories.revision("LM-210", "A"), variant=factories.variant(), axle=factories.axle(),
        location=factories.location(), component=factories.component(), done_on=date(2022, 5, 1), outcome="passed",
    )  # fmt: skip
    factories.next_edition()
    assert "Carried over from A" in open_page(CAR).text
