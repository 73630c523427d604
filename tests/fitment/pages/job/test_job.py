"""The job's page and the page of a printed instruction's code."""

import re

import pytest

from catalog.models import Catalogue, Fastener, Operation
from tests import factories

JOB = "/job/?variant=QN4-20-SAL&part=LM-210"


@pytest.fixture
def steps(small):
    """The small catalogue with minutes, a rubber joint tightened at ride height, and after-work."""
    Operation.objects.update(
        remove_min=4, remove_likely=5, remove_max=6, refit_min=4, refit_likely=5, refit_max=6, text="Do it with care."
    )
    factories.operation("arm_off", title="Arm off")
    test = factories.operation("road_test", title="Road test", remove_min=9, remove_likely=10, remove_max=11)
    from catalog.models import OperationEntail

    OperationEntail.objects.create(operation=factories.operation("arm_off"), position=0, entailed=test)
    factories.next_edition()


def code_of(page) -> str:
    found = re.search(r"The code of this instruction is (\w+)", page.text)
    assert found is not None
    return found[1]


def test_the_job_has_its_steps_tools_torques_and_orders(steps, open_page):
    page = open_page(JOB)
    for said in ("Fitting LM-210 B", "Arm off", "Way in", "Refit", "After-work", "Road test", "To order"):
        assert said.lower() in page.text.lower(), said
    tools = page.text.partition("On the bench first")[2].partition("To order")[0].split()
    # a fixed caution speaks of a lift too
    assert tools[0] == "Lift", tools


def test_an_estimate_says_so_and_on_how_many_jobs_it_rests(steps, open_page):
    assert "no job is recorded yet" in open_page(JOB).text


def test_cautions_stand_before_the_first_step_with_the_steps_they_belong_to(steps, open_page):
    page = open_page(JOB)
    before, _, after = page.text.partition("The steps")
    assert "Before the first step" in before
    assert re.search(r"Step \d", before)
    assert "The car maker's repair information comes first" in before
    assert "Before the first step" not in after


@pytest.mark.parametrize(("units", "said"), [("metric", "120 N m"), ("imperial", "89 lb ft")])
def test_torques_in_the_readers_units(steps, open_page, units, said):
    """The revision sets 120 N m in place of the car's 110; 120 N m are 88.5 lb ft."""
    assert said in open_page(f"{JOB}&units={units}").text


def test_units_do_not_change_the_instruction(steps, open_page):
    assert code_of(open_page(JOB)) == code_of(open_page(f"{JOB}&units=imperial"))


def test_the_way_in_is_drawn_with_every_step(steps, client):
    page = client.get(JOB).content.decode()
    drawn = re.findall(r'<g class="w-box w-(\w+)"', page)
    assert drawn.count("chosen") == 2
    assert drawn.count("after") == 1
    assert drawn.count("goal") == 1


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("variant=QN4-20-SAL", "Part"),
        ("variant=QN4-20-SAL&part=LM-999", "LM-999"),
        ("variant=QN4-20-SAL&part=LM-210&units=yards", "yards"),
        ("variant=QN4-20-SAL&part=LM-210&side=top", "top"),
        ("variant=QN4-20-SAL&part=LM-210&equipment=hammer", "hammer"),
        ("variant=QN4-20-SAL&part=LM-400", "LM-400"),
    ],
)
def test_what_cannot_be_read_is_said(steps, open_page, query, said):
    page = open_page(f"/job/?{query}", status=400)
    assert "This job cannot be read" in page.text
    assert said in page.text


def test_without_the_equipment_there_is_no_plan_and_what_would_open_it_is_said(steps, open_page):
    page = open_page(f"{JOB}&equipment=home", status=422)
    assert "There is no way in with this equipment" in page.text
    assert "It would be opened by" in page.text
    assert page.href("plan it with that") == "/job/?variant=QN4-20-SAL&part=LM-210"


def test_several_platforms_are_asked_apart(steps, open_page):
    factories.variant("ZR1-20-SAL", platform=factories.platform("ZR1"), front_axle=factories.axle())
    factories.next_edition()
    page = open_page("/job/?body=saloon&part=LM-210", status=422)
    assert "Which chassis code?" in page.text
    assert "Don't know" not in page.text, "a job needs to know"
    open_page(page.href("QN4"))


def test_facts_that_no_car_meets_can_be_taken_back(steps, open_page):
    page = open_page("/job/?chassis=QN4&engine=E20&body=estate&part=LM-210", status=422)
    open_page(page.href("without engine"))


def test_a_printed_instruction_is_current_until_something_printed_changes(steps, open_page):
    code = code_of(open_page(JOB))
    address = f"/job/instruction/{code}/?variant=QN4-20-SAL&part=LM-210&edition=2"
    assert "Current" in open_page(address).text
    Fastener.objects.update(angle_deg="120")
    Catalogue.objects.update(edition=3)
    page = open_page(address)
    assert "Superseded" in page.text
    assert code_of(open_page(page.href("Open and print"))) in page.text


def test_a_code_that_is_none_is_not_found_and_a_wrong_edition_is_said(steps, open_page):
    open_page("/job/instruction/not-a-code/?variant=QN4-20-SAL&part=LM-210", status=404)
    page = open_page(f"/job/instruction/{'2' * 10}/?variant=QN4-20-SAL&part=LM-210&edition=last", status=400)
    assert "is not a number" in page.text


def test_the_title_block_names_car_part_procedure_code_and_edition(steps, client):
    page = client.get(JOB).content.decode()
    block = page[page.index('<dl class="title-block">') :]
    for said in ("Jointbook", "LM-210 B", "QN4 20 saloon", "FX1 w1", "Code", "TEST"):
        assert said in block
