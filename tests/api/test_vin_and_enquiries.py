"""`vin/` and `enquiries/`: what is posted, and what is never kept."""

import logging
from datetime import date

import pytest

from catalog.codes import Role
from catalog.models import Catalogue, VinPattern, VinPatternVariant
from catalog.vin import check_digit
from fitment.models import Enquiry
from fitment.services import demand
from tests import factories as make
from tests.published import VALUES

# 49 CFR 565 sample (from memory, recomputed): its own check digit, model year 1989.
SAMPLE = VALUES["vin"]["check_digit_1M8GDM9AXKP042788"]["inputs"]["vin"]


def vin_of(wmi: str, descriptor: str, year: str = "K") -> str:
    """A VIN with the right check digit."""
    text = f"{wmi}{descriptor}0{year}0000000"
    return text[:8] + check_digit(text) + text[9:]


@pytest.fixture
def masks(small) -> None:
    """Maker ALVA is 1TK and WTK; `AB???` stands for both cars, `AB12?` for the estate."""
    make.maker("ALVA", wmi=["1TK", "WTK"])
    for wmi in ("1TK", "WTK"):
        for mask, codes in (("AB???", ["QN4-20-SAL"]), ("?B12?", ["QN4-25-EST"])):
            pattern = VinPattern.objects.create(wmi=wmi, mask=mask)
            for code in codes:
                VinPatternVariant.objects.create(pattern=pattern, variant=make.variant(code))


def post(public, vin):
    return public.post("vin/", {"vin": vin})


def test_masks_that_match_unite(masks, public):
    body = post(public, vin_of("WTK", "AB12C")).json()
    assert body["variants"] == ["QN4-20-SAL", "QN4-25-EST"]
    assert body["query"] == {
        "maker": "ALVA", "chassis": "QN4", "designation": "20", "drivetrain": "rear", "steering": "left", "market": "EU"
    }  # fmt: skip
    assert body["href"].startswith("/api/v1/fitment/?maker=ALVA&chassis=QN4")


def test_one_car_left_is_stated_as_such(masks, public):
    assert post(public, vin_of("WTK", "XB12C")).json()["query"] == {"variant": "QN4-25-EST"}


def test_the_model_year_narrows_in_north_america_only(masks, public):
    # K with a digit in position 7 is 1989, with a letter 2019 (49 CFR 565.15(d), from memory).
    elsewhere = post(public, vin_of("WTK", "AB12C")).json()
    assert (elsewhere["model_year"], elsewhere["model_year_advisory"]) == (1989, True)
    assert "model_year" not in elsewhere["query"]
    old = post(public, vin_of("1TK", "AB12C")).json()
    assert (old["model_year"], old["model_year_advisory"], old["variants"]) == (1989, False, [])
    new = post(public, vin_of("1TK", "AB1AC")).json()
    assert (new["model_year"], new["variants"]) == (2019, ["QN4-20-SAL"])
    assert new["query"] == {"variant": "QN4-20-SAL", "model_year": "2019"}


def test_the_question_that_follows_can_be_asked(masks, public):
    body = post(public, vin_of("1TK", "AB1AC")).json()
    answer = public.get(body["href"])
    assert answer.status_code == 200
    assert answer.json()["car"]["variants"] == body["variants"]


def test_a_wrong_check_digit(masks, public):
    wrong = vin_of("1TK", "AB12C")[:8] + "X" + vin_of("1TK", "AB12C")[9:]
    if check_digit(wrong) == "X":
        wrong = wrong[:8] + "1" + wrong[9:]
    answer = post(public, wrong)
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["field"] == "vin"
    assert post(public, "W" + wrong[1:]).json()["check_digit"] == "wrong"  # perhaps a typing error, says the page


@pytest.mark.parametrize(
    "body", [{}, {"vin": ""}, {"vin": SAMPLE[:-1]}, {"vin": 17}, [SAMPLE], {"vin": SAMPLE, "x": "y"}]
)
def test_bad_bodies_are_refused_without_repeating_them(masks, public, body):
    answer = public.post("vin/", body)
    assert answer.status_code == 400
    assert SAMPLE[:-1] not in answer.content.decode()


def test_a_vin_reaches_neither_answer_nor_log_nor_database(masks, public, caplog, django_assert_num_queries):
    vin = vin_of("WTK", "AB12C")
    with caplog.at_level(logging.DEBUG):
        answer = post(public, vin)
    assert vin not in answer.content.decode()
    assert vin not in caplog.text
    assert answer["Cache-Control"] == "no-store"
    assert public.get("vin/").status_code == 405


ASKED = {"chassis": "QN4", "number": "ab-12"}


def test_the_same_question_of_one_day_counts_up(small, public):
    assert [public.post("enquiries/", ASKED).json()["count"] for _ in range(3)] == [1, 2, 3]
    answer = public.post("enquiries/", {"chassis": "QN4", "number": "AB 12"})
    assert (answer.status_code, answer.json()["count"], answer.json()["number"]) == (201, 4, "AB12")
    assert public.post("enquiries/", {"chassis": "QN4"}).json()["count"] == 1


def test_an_enquiry_makes_no_edition_but_advances_its_counter(small, public):
    before = Catalogue.objects.get()
    public.post("enquiries/", ASKED)
    after = Catalogue.objects.get()
    assert (after.edition, after.enquiry_count) == (before.edition, before.enquiry_count + 1)


@pytest.mark.parametrize(
    ("body", "fields"),
    [
        ({}, [""]),
        ({"chassis": "QN9"}, ["chassis"]),
        ({"maker": "NOBODY"}, ["maker"]),
        ({"variant": "QN4-99"}, ["variant"]),
        ({"location": "tension_link.inner"}, ["location"]),
        ({"number": "--"}, ["number"]),
        ({"number": "A" * 41}, ["number"]),
        ({"number": SAMPLE}, ["number"]),
        ({"chasis": "QN4"}, ["chasis"]),
        ({"chassis": 4}, ["chassis"]),
    ],
)
def test_bad_enquiries_name_the_field_and_leave_nothing(small, public, body, fields):
    answer = public.post("enquiries/", body)
    assert answer.status_code == 400
    assert [error["field"] for error in answer.json()["errors"]] == fields
    assert SAMPLE not in answer.content.decode()
    assert not Enquiry.objects.exists()


def test_a_day_takes_so_many_of_one_question_and_so_many_in_all(small, public, monkeypatch):
    monkeypatch.setattr(demand, "COUNT_A_DAY", 2)
    monkeypatch.setattr(demand, "ROWS_A_DAY", 1)
    assert [public.post("enquiries/", ASKED).status_code for _ in range(3)] == [201, 201, 429]
    refused = public.post("enquiries/", {"chassis": "QN4"})
    assert refused.status_code == 429
    assert int(refused["Retry-After"]) > 0
    assert Enquiry.objects.get().count == 2


@pytest.mark.parametrize(("role", "status"), [(Role.PUBLIC, 401), (Role.SALES, 200), (Role.DEVELOPMENT, 200)])
def test_who_sees_the_list(small, api, role, status):
    Enquiry.objects.create(asked_on=date(2026, 1, 2), chassis="QN4", number="AB12", count=3)
    Enquiry.objects.create(asked_on=date(2026, 1, 3), chassis="QN4", count=1)
    answer = api(role).get("enquiries/?page_size=1")
    assert answer.status_code == status
    if status == 200:
        first = answer.json()
        second = api(role).get(first["next"]).json()
        assert [row["count"] for row in (*first["results"], *second["results"])] == [3, 1]
        assert second["next"] is None


def test_a_number_is_found_in_any_spelling_and_by_its_day(small, public, api):
    for _ in range(2):
        public.post("enquiries/", {"number": "12 34-567"})
    sales = api(Role.SALES)
    day = sales.get("enquiries/").json()["results"][0]["asked_on"]
    for query in ("number=1234567", "number=12.34.567", f"asked_on={day}"):
        assert [row["count"] for row in sales.get(f"enquiries/?{query}").json()["results"]] == [2]
    for query in ("number=99", "asked_on=2001-01-01"):
        assert sales.get(f"enquiries/?{query}").json()["results"] == []
