"""`fitment/`, `fitment/bulk/` and `parts/{part}/cars/` over HTTP; the rules themselves are tested below."""

from datetime import date

import pytest

from catalog.codes import Role
from tests import factories
from tests.api.expected_roles import FIELDS

pytestmark = pytest.mark.django_db
CAR = "variant=QN4-20-SAL"


def places(body: dict) -> dict[tuple, dict]:
    return {(one["end"], one["location"], one["part"]): one for one in body["answers"]}


def test_an_answer(small, public):
    body = public.get(f"fitment/?{CAR}").json()
    assert list(body) == ["catalogue", "car", "question", "answers", "unknown_locations", "unknown_axles"]
    assert body["catalogue"] == {"id": "TEST", "edition": 1}
    assert body["car"] == {"stated": {"variant": "QN4-20-SAL"}, "variants": ["QN4-20-SAL"]}
    assert body["question"] is None
    (answer,) = body["answers"]
    assert (answer["end"], answer["location"], answer["part"]) == ("front", "tension_link.inner", "LM-210")
    assert (answer["verdict"], answer["revision"], answer["basis"]) == ("fits", "B", "declared")
    assert [reason["code"] for reason in answer["reasons"]] == ["approved"]
    assert all(reason["text"].endswith(".") for reason in answer["reasons"])
    assert answer["rules"] == [{"rule": "in_pairs", "other": None, "note": ""}]
    assert body["unknown_axles"] == [{"end": "rear", "in": "all"}]


STAFF_ONLY = ("in_operation", "expected_undecided", "internal", "cause")


@pytest.mark.parametrize("role", list(Role))
def test_fields_of_an_answer_by_role(small, api, role):
    factories.decision(factories.revision("LM-220"), conditions="engine = E20")
    factories.next_edition()
    response = api(role).get("fitment/?chassis=QN4")
    body = response.json()
    ranks = list(Role)

    def seen(table: str) -> set[str]:
        return {name for name, least in FIELDS[table].items() if ranks.index(least) <= ranks.index(role)}

    assert set(body) == seen("fitment")
    assert set(body["car"]) == seen("fitment.car")
    assert set(body["question"]) == seen("fitment.question")
    for answer in body["answers"]:
        assert set(answer) == seen("fitment.answers") - {"job"}  # asked for by include=job
        for hold in answer["holds"]:
            assert set(hold) == seen("holds") - {"closed_on"}
    for name in STAFF_ONLY:
        assert (f'"{name}"'.encode() in response.content) is (role is not Role.PUBLIC)


def test_staff_see_the_other_revisions(small, api):
    answers = places(api(Role.SALES).get(f"fitment/?{CAR}").json())
    internal = answers["front", "tension_link.inner", "LM-210"]["internal"]
    assert internal == [
        {"revision": "C", "status": "prototype", "hold": False, "verdict": "fits"},
        {"revision": "A", "status": "withdrawn", "hold": False, "verdict": "fits"},
    ]
    assert ("front", "tension_link.inner", "LM-400") not in answers
    named = places(api(Role.SALES).get(f"fitment/?{CAR}&part=LM-400").json())
    assert named["front", "tension_link.inner", "LM-400"]["verdict"] == "not_known"


@pytest.fixture
def depends(small) -> None:
    """A part that fits one engine only."""
    factories.decision(factories.revision("LM-220"), conditions="engine = E20")
    factories.decision(factories.revision("LM-220"), word="rejected", conditions="engine = E25")
    factories.next_edition()


def test_following_the_question_ends_with_a_verdict(depends, public):
    body = public.get("fitment/?chassis=QN4&part=LM-220").json()
    assert places(body)["front", "tension_link.inner", "LM-220"]["verdict"] == "depends"
    assert places(body)["front", "tension_link.inner", "LM-220"]["undecided_by"]
    question = body["question"]
    assert question["text"].endswith("?")
    assert question["undecided"] == 1
    verdicts = set()
    for choice in question["choices"]:
        further = "&".join(f"{name}={value}" for name, value in choice["query"].items())
        after = public.get(f"fitment/?chassis=QN4&part=LM-220&{further}").json()
        verdicts.add(places(after)["front", "tension_link.inner", "LM-220"]["verdict"])
        assert after["question"] is None
    assert verdicts == {"fits", "does_not_fit"}


def test_several_platforms_are_asked_about_and_nothing_is_computed(small, public):
    factories.variant("TT1-20", platform=factories.platform("TT1"))
    factories.next_edition()
    body = public.get("fitment/?engine=E20").json()
    assert body["answers"] == []
    assert body["question"]["attribute"] == "chassis"
    assert [choice["query"] for choice in body["question"]["choices"]] == [{"chassis": "QN4"}, {"chassis": "TT1"}]


@pytest.mark.parametrize(
    ("query", "fields"),
    [
        ("chasis=QN4", ["chasis"]),
        ("chassis=QN5", ["chassis"]),
        ("chassis=QN4&body=saloonn&engine=", ["body", "engine"]),
        ("built=yesterday", ["built"]),
        ("option.SPROT=yes", ["option.SPROT"]),
        ("option.SPORT=perhaps", ["option.SPORT"]),
        ("component.front.tension_link.inner=C9", ["component.front.tension_link.inner"]),
        ("component.rear.tension_link.inner=C1", ["component.rear.tension_link.inner"]),
        ("part=LM-400", ["part"]),
        ("part=LM-999", ["part"]),
        ("skip=colour", ["skip"]),
        ("include=everything", ["include"]),
        ("equipment=hammer", ["equipment"]),
        ("end=left", ["end"]),
        ("registered=2018-05", ["registered"]),
        ("model_year=18", ["model_year"]),
    ],
)
def test_a_typing_error_never_widens_the_car(small, public, query, fields):
    response = public.get(f"fitment/?{query}")
    assert response.status_code == 400
    assert sorted(error["field"] for error in response.json()["errors"]) == sorted(fields)


def test_facts_no_car_meets_together(small, public):
    response = public.get("fitment/?chassis=QN4&body=estate&engine=E20&steering=left")
    assert response.status_code == 422
    assert response["Content-Type"] == "application/problem+json"
    assert [error["field"] for error in response.json()["errors"]] == ["body", "engine"]


# --- Bulk ---------------------------------------------------------------------------------------


def test_bulk_answers_each_car_as_the_single_question_does(depends, public):
    cars = [
        {"ref": "a", "variant": "QN4-20-SAL"},
        {"ref": "b", "chassis": "QN4", "engine": "E25", "built": ["2016..", "..2018"]},
        {"ref": "c", "chassis": "QN4"},
    ]
    body = public.post("fitment/bulk/", {"cars": cars}).json()
    assert [car["ref"] for car in body["cars"]] == ["a", "b", "c"]
    queries = ["variant=QN4-20-SAL", "chassis=QN4&engine=E25&built=2016..&built=..2018", "chassis=QN4"]
    for car, query in zip(body["cars"], queries, strict=True):
        alone = public.get(f"fitment/?{query}").json()
        assert car["answers"] == alone["answers"]
        assert car["car"] == alone["car"]
        assert car["question"] is None


def test_parts_act_as_part_for_each_car(depends, public):
    cars = [{"ref": "a", "variant": "QN4-20-SAL"}, {"ref": "b", "variant": "QN4-25-EST", "part": "LM-210"}]
    body = public.post("fitment/bulk/", {"cars": cars, "parts": ["LM-220"]}).json()
    assert [{one["part"] for one in car["answers"]} for car in body["cars"]] == [{"LM-220"}, {"LM-210", "LM-220"}]


def test_a_car_without_an_answer_has_its_problem_and_the_others_their_answers(small, public):
    cars = [
        {"ref": "typing error", "chassis": "QN5"},
        {"ref": "no such car", "body": "estate", "engine": "E20"},
        {"ref": "number", "chassis": 4},
        {"ref": "job", "include": "job"},
        {"ref": "vin", "chassis": "1M8GDM9AXKP042788"},
        {"ref": "good", "variant": "QN4-20-SAL"},
    ]
    response = public.post("fitment/bulk/", {"cars": cars})
    assert response.status_code == 200
    found = {car["ref"]: car for car in response.json()["cars"]}
    assert {ref: car["problem"]["status"] for ref, car in found.items() if "problem" in car} == {
        "typing error": 400, "no such car": 422, "number": 400, "job": 400, "vin": 400,
    }  # fmt: skip
    assert [error["field"] for error in found["typing error"]["problem"]["errors"]] == ["chassis"]
    assert "answers" in found["good"]
    assert b"1M8GDM9AXKP042788" not in response.content


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ([], "body"),
        ({}, "cars"),
        ({"cars": []}, "cars"),
        ({"cars": {}}, "cars"),
        ({"cars": [1]}, "cars"),
        ({"cars": [{"chassis": "QN4"}]}, "cars[0].ref"),
        ({"cars": [{"ref": ""}]}, "cars[0].ref"),
        ({"cars": [{"ref": 1}]}, "cars[0].ref"),
        ({"cars": [{"ref": "a"}, {"ref": "a"}]}, "cars[1].ref"),
        ({"cars": [{"ref": "1M8GDM9AXKP042788"}]}, "cars[0].ref"),
        ({"cars": [{"ref": str(number)} for number in range(1001)]}, "cars"),
        ({"cars": [{"ref": "a"}], "parts": "LM-210"}, "parts"),
        ({"cars": [{"ref": "a"}], "parts": ["LM-999"]}, "parts"),
        ({"cars": [{"ref": "a"}], "parts": ["LM-400"]}, "parts"),
        ({"cars": [{"ref": "a"}], "part": ["LM-210"]}, "part"),
    ],
    ids=lambda value: str(value)[:40],
)
def test_a_bulk_question_that_cannot_be_taken(small, public, body, field):
    response = public.post("fitment/bulk/", body)
    assert response.status_code == 400
    assert [error["field"] for error in response.json()["errors"]] == [field]


def test_a_thousand_cars(small, public):
    cars = [{"ref": str(number), "variant": "QN4-20-SAL"} for number in range(1000)]
    body = public.post("fitment/bulk/", {"cars": cars}).json()
    assert [car["ref"] for car in body["cars"]] == [str(number) for number in range(1000)]
    assert all(len(car["answers"]) == 1 for car in body["cars"])


# --- The cars of a part -------------------------------------------------------------------------


@pytest.fixture
def intervals(small) -> list[tuple]:
    """LM-230 fits built from 2016-03 on only: two intervals a car."""
    revision = factories.revision("LM-230")
    factories.decision(revision, conditions="built = 2016-03..")
    factories.decision(revision, word="rejected", conditions="built = ..2016-02")
    factories.variant("QN4-25-EST", built_to=date(2018, 12, 31))
    factories.next_edition()
    place = ("front", "tension_link.inner")
    return [
        ("QN4-20-SAL", *place, "2015-01-01", "2016-02-29", "does_not_fit", None),
        ("QN4-20-SAL", *place, "2016-03-01", None, "fits", "A"),
        ("QN4-25-EST", *place, "2015-01-01", "2016-02-29", "does_not_fit", None),
        ("QN4-25-EST", *place, "2016-03-01", "2018-12-31", "fits", "A"),
    ]


def rows(body: dict) -> list[tuple]:
    return [tuple(row.values()) for row in body["results"]]


def test_intervals_fill_the_windows_of_the_cars(intervals, public):
    body = public.get("parts/LM-230/cars/").json()
    assert list(body["results"][0]) == [
        "variant", "end", "location", "built_from", "built_to", "verdict", "revision",
    ]  # fmt: skip
    assert rows(body) == intervals
    assert body["next"] is None
    assert body["previous"] is None


@pytest.mark.parametrize("size", [1, 2, 3])
def test_pages_of_intervals_lead_there_and_back(intervals, public, size):
    address, seen = f"parts/LM-230/cars/?page_size={size}", []
    while address:
        body = public.get(address).json()
        seen += rows(body)
        address = body["next"]
    assert seen == intervals
    backwards = rows(body)[::-1]
    while body["previous"]:
        body = public.get(body["previous"]).json()
        backwards += rows(body)[::-1]
    assert backwards == intervals[::-1]


def test_a_part_nobody_placed_has_no_cars_and_an_unknown_one_is_not_found(small, public):
    factories.revision("LM-500")
    factories.next_edition()
    assert public.get("parts/LM-500/cars/").json()["results"] == []
    assert public.get("parts/LM-999/cars/").status_code == 404
    assert public.get("parts/LM-230/cars/?page_size=0").status_code == 400
