"""Decisions and evidence over HTTP: who may, what a POST does, what it answers."""

import pytest

from catalog.codes import Role
from catalog.models import Catalogue
from fitment.models import FitDecision, JobTime
from tests import factories

pytestmark = pytest.mark.django_db
CAR = "QN4-20-SAL"
ROWS = {
    "fit-decisions/": {
        "part": "LM-210", "revision": "B", "component": "C1", "conditions": "engine=E25", "decision": "rejected",
        "decided_on": "2022-05-01", "orientation_deg": 90, "orientation_from": "the notch", "remark": "mind the arm",
    },
    "test-fits/": {
        "ref": "TF-0007", "part": "LM-210", "revision": "B", "variant": CAR, "axle": "FX1",
        "location": "tension_link.inner", "side": "left", "done_on": "2022-06-01", "outcome": "passed", "km": 12000,
    },
    "job-times/": {
        "ref": "JT-0007", "variant": CAR, "parts": ["LM-210:front.tension_link.inner"], "side": "both",
        "equipment": ["home"], "after_work": False, "minutes": 72.5, "done_on": "2022-06-01", "car": "car-17",
    },
    "measurements/": {
        "component": "C1", "feature": "bore", "measured_on": "2022-07-01", "mean_mm": 62.013, "samples": 8,
        "spread_mm": 0.004, "uncertainty_mm": 0.002,
    },
    "stances/": {"axle": "FX1", "location": "tension_link.inner", "stance": "wanted", "reason": "asked for often"},
}  # fmt: skip
CHANGES = {
    "fit-decisions/": {"remark": "trim the boot"},
    "test-fits/": {"findings": "none"},
    "job-times/": {"minutes": 80},
    "measurements/": {"samples": 9},
    "stances/": {"stance": "in_work"},
}
PATHS = list(ROWS)


@pytest.fixture
def way_in(small) -> None:
    """A job on the small catalogue's part has a plan."""
    factories.part("LM-210", kit_pieces=1)


@pytest.mark.parametrize(
    ("role", "status"), [(Role.PUBLIC, 401), (Role.SALES, 403), (Role.DEVELOPMENT, 200), (Role.EDITOR, 200)]
)
@pytest.mark.parametrize("path", PATHS)
def test_who_may(small, api, path, role, status):
    assert api(role).get(path).status_code == status
    written = api(role).post(path, {})
    assert written.status_code == (status if status != 200 else 400)


@pytest.mark.parametrize("path", PATHS)
def test_a_row_is_added_then_changed_by_its_key(way_in, api, path):
    client = api(Role.DEVELOPMENT)
    before = len(client.get(path).json()["results"])
    added = client.post(path, ROWS[path])
    assert added.status_code == 201, added.content
    body = added.json()
    wanted = ROWS[path] | ({"conditions": "engine = E25"} if path == "fit-decisions/" else {})
    assert {name: body[name] for name in wanted} == wanted
    changed = client.post(path, {**ROWS[path], **CHANGES[path]})
    assert changed.status_code == 200, changed.content
    assert {name: changed.json()[name] for name in CHANGES[path]} == CHANGES[path]
    rows = client.get(path).json()["results"]
    assert len(rows) == before + 1
    stored = {name: value for name, value in changed.json().items() if name != "catalogue"}
    assert stored in rows


@pytest.mark.parametrize("path", PATHS)
def test_a_column_left_out_stays_as_it_is(way_in, api, path):
    client = api(Role.DEVELOPMENT)
    first = client.post(path, ROWS[path]).json()
    keys = {
        "fit-decisions/": ("part", "revision", "component", "conditions", "decision"),
        "measurements/": ("component", "feature", "measured_on"),
        "stances/": ("axle", "location"),
    }.get(path, ("ref",))
    again = client.post(path, {name: ROWS[path][name] for name in keys} | CHANGES[path])
    assert again.status_code == 200, again.content
    assert {**first, **CHANGES[path], "catalogue": None} == {**again.json(), "catalogue": None}


def test_a_group_is_never_replaced(small, api):
    count = FitDecision.objects.count()
    api(Role.DEVELOPMENT).post("fit-decisions/", ROWS["fit-decisions/"])
    assert FitDecision.objects.count() == count + 1


@pytest.mark.parametrize("path", [path for path in PATHS if path != "job-times/"])
def test_a_row_makes_an_edition_and_the_answer_names_it(small, api, path):
    answer = api(Role.DEVELOPMENT).post(path, ROWS[path]).json()
    assert answer["catalogue"] == {"id": "TEST", "edition": 2}
    assert Catalogue.objects.get().edition == 2


def test_a_job_time_makes_no_edition_but_counts(way_in, api):
    client = api(Role.DEVELOPMENT)
    tag = client.get("job-times/")["ETag"]
    assert client.post("job-times/", ROWS["job-times/"]).json()["catalogue"]["edition"] == 1
    assert Catalogue.objects.get().job_time_count == 1
    assert client.get("job-times/")["ETag"] != tag
    assert client.get("makers/").json()["catalogue"]["edition"] == 1


def test_a_ref_may_be_left_out(way_in, api):
    client = api(Role.DEVELOPMENT)
    row = {name: value for name, value in ROWS["job-times/"].items() if name != "ref"}
    refs = {client.post("job-times/", row).json()["ref"] for _ in range(2)}
    assert len(refs) == 2
    assert set(JobTime.objects.values_list("ref", flat=True)) == refs


def test_the_component_of_a_test_fit_is_filled_in(small, api):
    assert api(Role.DEVELOPMENT).post("test-fits/", ROWS["test-fits/"]).json()["component"] == "C1"


def test_an_answer_follows_at_once(small, api):
    client = api(Role.DEVELOPMENT)
    query = f"fitment/?variant={CAR}&part=LM-210"
    assert client.get(query).json()["answers"][0]["basis"] == "declared"
    client.post("test-fits/", ROWS["test-fits/"])
    assert client.get(query).json()["answers"][0]["basis"] == "fitted"


@pytest.mark.parametrize(
    ("path", "change", "field"),
    [
        ("fit-decisions/", {"revision": "Q"}, "revision"),
        ("fit-decisions/", {"decision": "perhaps"}, "decision"),
        ("fit-decisions/", {"decided_on": "2022-05"}, "decided_on"),
        ("fit-decisions/", {"decided_on": None}, "decided_on"),
        ("fit-decisions/", {"conditions": "engine = E99"}, "conditions"),
        ("fit-decisions/", {"remarks": "x"}, "remarks"),
        ("fit-decisions/", {"remark": "=1+1"}, "remark"),
        ("fit-decisions/", {"remark": {"a": 1}}, "remark"),
        ("test-fits/", {"component": "C9"}, "component"),
        ("test-fits/", {"serial": "1M8GDM9AXKP042788"}, "serial"),
        ("test-fits/", {"km": -1}, "km"),
        ("test-fits/", {"km": 1.5}, "km"),
        ("measurements/", {"samples": 0}, "samples"),
        ("measurements/", {"mean_mm": "wide"}, "mean_mm"),
        ("stances/", {"location": "nowhere"}, "location"),
        ("job-times/", {"after_work": "perhaps"}, "after_work"),
        ("fit-decisions/", {"part": ["LM-210"]}, "part"),
        ("fit-decisions/", {"remark": True}, "remark"),
        ("job-times/", {"minutes": [72.5]}, "minutes"),
        ("job-times/", {"minutes": True}, "minutes"),
        ("job-times/", {"parts": ["LM-210 LM-210:front.tension_link.inner"]}, "parts"),
        ("job-times/", {"parts": [""]}, "parts"),
    ],
    ids=str,
)
def test_a_bad_row_is_refused_by_field_and_nothing_is_stored(way_in, api, path, change, field):
    client = api(Role.DEVELOPMENT)
    response = client.post(path, {**ROWS[path], **change})
    assert response.status_code == 400, response.content
    assert field in [error["field"] for error in response.json()["errors"]]
    assert Catalogue.objects.get().edition == 1
    assert client.get(path).json()["results"] == client.get(f"{path}?page_size=500").json()["results"]


@pytest.mark.parametrize("body", [[], "text", 1, None])
def test_a_body_that_is_no_row(small, api, body):
    assert api(Role.DEVELOPMENT).post("stances/", body).status_code == 400


FILTERED = [
    ("fit-decisions/?part=LM-210&decision=approved", 2),
    ("fit-decisions/?component=C1&revision=A", 2),
    ("test-fits/?outcome=failed", 0),
    ("test-fits/?variant=QN4-20-SAL", 0),
    ("job-times/?side=left", 0),
    ("stances/?axle=FX1", 0),
    ("measurements/?component=C1", 0),
    ("measurements/?feature=bore&measured_on=2022-07-01", 0),
]


@pytest.mark.parametrize(("path", "count"), FILTERED)
def test_filters(small, api, path, count):
    assert len(api(Role.DEVELOPMENT).get(path).json()["results"]) == count


def test_measurements_by_their_whole_key(small, api):
    client = api(Role.DEVELOPMENT)
    row = ROWS["measurements/"]
    for day in ("2022-07-01", "2022-07-02"):
        client.post("measurements/", {**row, "measured_on": day})
    found = client.get("measurements/?component=C1&feature=bore&measured_on=2022-07-02").json()["results"]
    assert [one["measured_on"] for one in found] == ["2022-07-02"]
    assert client.get("measurements/?measured_on=2022-07").status_code == 400
