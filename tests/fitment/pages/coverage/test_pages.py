"""The developers' pages: who sees them, what they show, and what is written on them, without JavaScript."""

import csv
import io
from urllib.parse import urlsplit

import openpyxl
import pytest

from catalog.codes import Role
from catalog.models import Catalogue
from catalog.workbook.reading import Source
from fitment.models import FitDecision, JobTime, Measurement, Stance, TestFit
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.coverage.cells import coverage, groups_of_cell, order_of_work
from tests import factories
from tests.catalog.workbook.small import small as small_workbook
from tests.catalog.workbook.small import write
from tests.fitment.pages.shared.test_queries import more_rows, queries

CELL = "/coverage/RX1/toe.inner/?component=C3"
PATHS = (
    "/coverage/", "/coverage/?uncovered=yes&demand=yes", "/coverage/cells.csv", "/coverage/uncovered.csv",
    "/coverage/cells.xlsx",
    "/coverage/sizes/", CELL, "/axle/FX1/", "/test-fit/new/", "/test-fit/new/?kind=measurement",
    "/test-fit/new/?kind=job-time",
)  # fmt: skip
DECISION = {
    "sheet": "fit_decisions", "part": "LM-2", "revision": "A", "decision": "proposed", "conditions": "",
    "orientation_deg": "", "orientation_from": "", "remark": "looks near",
}  # fmt: skip
FIT = {
    "sheet": "test_fits", "ref": "TF-0123456789", "part": "LM-2", "revision": "A", "variant": "V1", "axle": "RX1",
    "location": "toe.inner", "component": "C3", "side": "left", "outcome": "passed", "done_on": "2024-05-02",
    "findings": "", "serial": "", "km": "",
}  # fmt: skip


@pytest.fixture
def workbook(tmp_path, db) -> None:
    catalogue_load(source=Source.of_path(write(tmp_path / "in", small_workbook())), actor_name="test")


@pytest.fixture
def developer(workbook, client_of):
    return client_of(Role.DEVELOPMENT)


def edition() -> str:
    return str(Catalogue.objects.get().edition)


@pytest.mark.parametrize("path", PATHS)
def test_only_developers_and_editors_see_them(workbook, client_of, path):
    asked = client_of(Role.PUBLIC).get(path)
    assert asked.status_code == 302
    assert urlsplit(asked["Location"]).path == "/account/sign-in/"
    assert client_of(Role.SALES).get(path).status_code == 403
    for role in (Role.DEVELOPMENT, Role.EDITOR):
        assert client_of(role).get(path).status_code == 200


@pytest.mark.parametrize("path", [CELL, "/test-fit/new/"])
def test_sales_writes_nothing(workbook, client_of, path):
    assert client_of(Role.SALES).post(path, {**FIT, "step": "save", "edition": edition()}).status_code == 403
    assert not TestFit.objects.filter(ref=FIT["ref"]).exists()


def test_a_cell_of_the_matrix_opens_into_its_axles_and_components(developer, open_page):
    sheet = open_page("/coverage/", by=developer)
    href = next(href for href, label in sheet.links if label.startswith("QN4, toe.inner: "))
    opened = open_page(href.partition("#")[0], by=developer)
    assert CELL in [href for href, _ in opened.links]
    assert "RX1\xa0C3" in opened.text or "RX1 C3" in opened.text


def test_a_filter_that_is_not_known_is_named_with_the_nearest(developer, open_page):
    sheet = open_page("/coverage/?chassis=QN44", status=400, by=developer)
    assert "the nearest is 'QN4'" in sheet.text
    assert developer.get("/coverage/cells.csv?chassis=QN44").status_code == 400


def test_the_files_hold_every_row_that_the_filters_leave(developer):
    rows = list(csv.DictReader(io.StringIO(developer.get("/coverage/cells.csv").content.decode())))
    cells = coverage().cells
    assert [(row["axle"], row["location"], row["component"]) for row in rows] == [
        (cell.key.axle, cell.key.location, cell.key.component) for cell in cells
    ]
    assert [float(row["uncovered"]) for row in rows] == pytest.approx([float(cell.uncovered) for cell in cells])
    one = list(csv.DictReader(io.StringIO(developer.get("/coverage/cells.csv?end=rear").content.decode())))
    assert {row["end"] for row in one} == {"rear"}
    book = openpyxl.load_workbook(io.BytesIO(developer.get("/coverage/cells.xlsx").content))
    assert book.sheetnames == ["cells", "platforms", "work", "uncovered", "effort"]
    assert book["cells"].max_row == len(cells) + 1
    assert book["work"].max_row == len(order_of_work()) + 1


def test_uncovered_cars_by_condition(developer, open_page):
    """Each group leads to the form of a decision with exactly its conditions, and stands in the files."""
    early = {**DECISION, "conditions": "built = ..2016"}
    assert developer.post(CELL, {**early, "step": "save", "edition": edition()}).status_code == 303
    groups = {cell.key: groups_of_cell(cell.key) for cell in coverage().cells if cell.uncovered}
    some = next(key for key in groups if key.component == "C3")
    assert {str(group.conditions) for group in groups[some]} == {"built = ..2016", "built = 2017.."}
    path = f"/coverage/{some.axle}/{some.location}/?component={some.component}"
    hrefs = [href for href, label in open_page(path, by=developer).links if label == "Decide for these"]
    filled = [open_page(href.partition("#")[0], by=developer).fields["conditions"][0]["value"] for href in hrefs]
    assert filled == [str(group.conditions) for group in groups[some]]
    rows = list(csv.DictReader(io.StringIO(developer.get("/coverage/uncovered.csv").content.decode())))
    assert [(row["axle"], row["component"], row["conditions"], row["variants"].split()) for row in rows] == [
        (key.axle, key.component, str(group.conditions), list(group.variants))
        for key, several in groups.items()
        for group in several
    ]
    book = openpyxl.load_workbook(io.BytesIO(developer.get("/coverage/cells.xlsx").content))
    assert book["uncovered"].max_row == len(rows) + 1


def test_the_terms_of_the_order_of_work_are_shown(developer, open_page):
    text = open_page("/coverage/", by=developer).text
    assert "100 for each enquiry" in text
    assert "common practice, no source" in text


def test_a_proposal_is_previewed_and_then_stored(developer, open_page):
    preview = developer.post(CELL, {**DECISION, "step": "preview"})
    assert "Store exactly this" in preview.content.decode()
    assert not FitDecision.objects.filter(decision="proposed").exists()
    stored = developer.post(CELL, {**DECISION, "step": "save", "edition": edition()})
    assert stored.status_code == 303
    assert FitDecision.objects.get(decision="proposed").remark == "looks near"
    assert "Prototype or proposal" in open_page(stored["Location"], by=developer).text


@pytest.mark.parametrize(("path", "row"), [(CELL, DECISION), ("/test-fit/new/", FIT)])
def test_every_form_carries_its_token(developer, path, row):
    """The form that stores too: a browser is refused without it."""
    said = developer.post(path, {**row, "step": "preview"}).content.decode()
    assert 'value="save"' in said
    assert said.count('method="post"') == said.count("csrfmiddlewaretoken")


def test_an_approval_tells_which_answers_change(developer):
    said = developer.post(CELL, {**DECISION, "decision": "approved", "step": "preview"}).content.decode()
    assert "answer" in said
    assert "Fits" in said
    assert "3 variants" in said


def test_an_error_stands_at_its_field_and_keeps_what_was_typed(developer):
    answer = developer.post(CELL, {**DECISION, "conditions": "engin = E20", "step": "preview"})
    said = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="f-conditions-error"' in said
    assert 'value="engin = E20"' in said
    assert "looks near" in said


def test_another_edition_meanwhile_is_told_and_nothing_stored(developer):
    before = edition()
    developer.post(CELL, {"sheet": "stances", "stance": "wanted", "reason": "", "next_step": "measure", "step": "save",
                          "edition": before})  # fmt: skip
    assert Stance.objects.get(axle__code="RX1").next_step == "measure"
    answer = developer.post(CELL, {**DECISION, "step": "save", "edition": before})
    assert answer.status_code == 409
    assert "changed meanwhile" in answer.content.decode()
    assert not FitDecision.objects.filter(decision="proposed").exists()


def test_a_test_fit_sent_twice_is_one(developer, open_page):
    preview = developer.post("/test-fit/new/", {**FIT, "step": "preview"})
    assert preview.status_code == 200
    assert not TestFit.objects.filter(ref=FIT["ref"]).exists()
    at = edition()
    for _ in range(2):
        answer = developer.post("/test-fit/new/", {**FIT, "step": "save", "edition": at})
        assert answer.status_code == 303
    assert TestFit.objects.filter(variant__code="V1", axle__code="RX1").count() == 1
    assert edition() == str(int(at) + 1)
    assert CELL in [href for href, _ in open_page(answer["Location"], by=developer).links]


def test_the_reference_of_another_row_is_not_taken_over(developer):
    developer.post("/test-fit/new/", {**FIT, "ref": "T1", "step": "save", "edition": edition()})
    assert TestFit.objects.get(ref="T1").axle.code == "FX1"


def test_a_measurement_and_a_job_time_are_recorded(developer):
    size = {"sheet": "measurements", "component": "C3", "feature": "bore", "mean_mm": "62.01", "samples": "3",
            "spread_mm": "0.004", "uncertainty_mm": "0.002", "measured_on": "2024-05-02"}  # fmt: skip
    answer = developer.post("/test-fit/new/?kind=measurement", {**size, "step": "save", "edition": edition()})
    assert answer.status_code == 303, answer.content.decode()
    assert Measurement.objects.filter(component__code="C3").count() == 1
    time = {"sheet": "job_times", "ref": "JT-0123456789", "variant": "V1", "parts": "LM-1:front.arm.inner",
            "side": "left", "minutes": "55", "equipment": "shop", "after_work": "yes", "done_on": "2024-05-02",
            "car": ""}  # fmt: skip
    before = JobTime.objects.count()
    for _ in range(2):
        answer = developer.post("/test-fit/new/?kind=job-time", {**time, "step": "save", "edition": edition()})
        assert answer.status_code == 303, answer.content.decode()
    assert JobTime.objects.count() == before + 1


def test_the_form_is_filled_from_the_address(developer, open_page):
    sheet = open_page("/test-fit/new/?axle=RX1&location=toe.inner&component=C3&part=LM-2&revision=A", by=developer)
    assert [sheet.fields[name][0]["value"] for name in ("axle", "location", "component")] == ["RX1", "toe.inner", "C3"]


def test_what_is_not_there(developer):
    for path in ("/coverage/RX1/nowhere/", "/coverage/NOTHING/toe.inner/", CELL + "X", "/axle/NOTHING/"):
        assert developer.get(path).status_code == 404, path
    assert developer.get("/coverage/sizes/?bodies_at_most=0").status_code == 400


@pytest.mark.parametrize(
    "path",
    ["/coverage/", "/coverage/?work=all", "/coverage/sizes/", "/coverage/uncovered.csv", "/coverage/cells.xlsx",
     "/coverage/FX1/tension_link.inner/?component=C1", "/axle/FX1/", "/test-fit/new/"],
)  # fmt: skip
def test_queries_do_not_grow(small, client_of, path):
    """More cars, parts, revisions and decisions of the same axles, and more axles with corners that wait for a part."""
    client = client_of(Role.DEVELOPMENT)
    axle("X0")
    client.get(path)
    before = queries(client, path)
    more_rows()
    for number in range(1, 6):
        axle(f"X{number}")
    factories.next_edition()
    assert queries(client, path) <= before


def axle(code: str) -> None:
    """An axle with a corner, a car on it and two joints that nothing covers."""
    one = factories.axle(code)
    factories.corner(one)
    factories.variant(f"V{code}", front_axle=one, kerb_mass_kg=1600, front_mass_share="0.52", wheelbase_mm=2750,
                      cg_height_mm=550, track_mm=1550)  # fmt: skip
    for place in ("tension_link.inner", "tension_link.outer"):
        factories.joint(f"K{code}", on=one, at=factories.location(place))
