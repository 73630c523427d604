"""The page of a number or stamp."""

import datetime as dt
from urllib.parse import unquote

import pytest

from catalog import models as facts
from catalog.codes import Role
from catalog.numbers import normal_form
from fitment.models import Enquiry
from fitment.readers.vocabulary import names
from fitment.text.lookup import condition_words
from tests import factories

VIN = "1M8GDM9AXKP042788"  # 49 CFR 565 example, with a right check digit


def supersede(old: str, new: str, exchange: str = "one_way", issuer: str = "ALVA") -> None:
    facts.Supersession.objects.create(
        issuer=issuer, old=old, old_normal=normal_form(old), new=new, new_normal=normal_form(new), exchange=exchange
    )


@pytest.fixture
def chain(small) -> None:
    """TK 804-6 (C1) replaced by TK.804.7, with an older number before it."""
    supersede("0815-X", "TK 804-6", "both_ways")
    supersede("TK 804-6", "TK.804.7", "with_rework")
    factories.next_edition()


def test_a_number_says_what_it_is_in_any_spelling(chain, open_page):
    for spelling in ("TK%20804-6", "tk8046", "T-K-8-0-4-6"):
        page = open_page(f"/number/{spelling}/")
        assert "TK 804-6" in page.text
        assert "an original joint" in page.text
        assert "C1" in page.text


def test_the_chain_is_drawn_and_said_in_words(chain, client, open_page):
    page = open_page("/number/TK8046/")
    assert page.href("TK.804.7") == "/number/TK.804.7/?issuer=ALVA"
    assert "TK.804.7 is used in place of TK 804-6 after rework, not the other way round" in page.text
    assert "TK 804-6 and 0815-X are used in place of each other" in page.text
    content = client.get("/number/TK8046/").content.decode()
    assert content.count('class="ch-tag') == 3
    assert content.count('class="ch-link rework"') == 1
    assert 'aria-hidden="true" focusable="false"' in content


def test_what_a_number_is_may_be_known_from_the_one_that_replaced_it(small, open_page):
    supersede("OLD-1", "TK 804-6")
    factories.next_edition()
    page = open_page("/number/OLD-1/")
    assert "Known from TK 804-6 , which replaced it" in page.text
    assert "Current TK 804-6" in page.text


def test_cars_stand_together_and_lead_to_the_car_with_the_joint_stated(small, open_page):
    page = open_page("/number/TK8046/")
    joint = "component.front.tension_link.inner=C1"
    assert page.href("Alva QN4") == f"/car/?maker=ALVA&chassis=QN4&{joint}"
    assert page.href("QN4-20-SAL") == f"/car/?variant=QN4-20-SAL&{joint}"
    open_page(page.href("Alva QN4"))
    assert "2 cars." in page.text


def test_upgrades_are_named_with_their_verdict(small, open_page):
    page = open_page("/number/TK8046/")
    assert "Fits LM-210 revision B" in page.text
    assert "component.front.tension_link.inner=C1&part=LM-210" in page.href("ask for a car")


def test_a_fasteners_number_names_its_steps(small, open_page):
    facts.Fastener.objects.update(number="TN 1015", normal="TN1015")
    factories.number("TN 1015", kind="fastener")
    factories.next_edition()
    assert "Where it is screwed in Axle Step Fastener FX1 FX1 arm_off f1" in open_page("/number/TN%201015/").text


@pytest.mark.parametrize("number", ["EB 3/111-01", "A/B/C", "50%", "a?b#c", "ÄB 12"])
def test_every_sign_may_stand_in_the_address(small, client, number):
    from fitment.pages.shared.addresses import number_address

    factories.number(number, issuer="ODD", component=factories.component("C1"))
    factories.next_edition()
    answer = client.get(number_address(number))
    assert answer.status_code == 200
    assert answer.context["matches"][0].number == number


def test_several_issuers_of_one_number_are_told_apart(small, open_page):
    factories.number("TK 804-6", issuer="OTHER", kind="other")
    factories.next_edition()
    page = open_page("/number/TK8046/")
    assert "2 issuers have this number" in page.text
    assert "2 issuers" not in open_page("/number/TK8046/?issuer=OTHER").text
    open_page("/number/TK8046/?issuer=NOBODY", 400)


def test_an_unknown_number_gets_near_ones(small, open_page):
    page = open_page("/number/TK8O4G/")
    assert "Did you mean" in page.text
    assert page.href("TK 804-6") == "/number/TK%20804-6/?issuer=ALVA"


def test_an_unknown_number_is_counted_when_asked(small, client, open_page):
    page = open_page("/number/XX%2099-1/")
    assert "csrfmiddlewaretoken" in page.fields
    for count, words in ((1, "asked for once"), (2, "asked for 2 times")):
        answer = client.post("/number/XX%2099-1/")
        assert answer.status_code == 303
        assert words in open_page(answer["Location"].partition("#")[0]).text
        row = Enquiry.objects.get()
        assert (row.number, row.count, row.maker, row.chassis, row.variant, row.location) == ("XX991", count, *[""] * 4)
        assert row.asked_on == dt.datetime.now(dt.UTC).date()


def test_counting_needs_the_forms_token(small, client):
    client.handler.enforce_csrf_checks = True
    assert client.post("/number/XX991/").status_code == 403
    assert not Enquiry.objects.exists()


def test_nobody_can_claim_that_it_was_counted(small, open_page):
    assert "Counted" not in open_page("/number/XX991/?logged=yes").text


def test_a_joint_without_an_upgrade_is_worth_counting_a_known_answer_is_not(small, open_page):
    factories.component("C9")
    factories.number("TK 9", component=factories.component("C9"))
    factories.next_edition()
    assert "Nothing of ours for it yet" in open_page("/number/TK9/").text
    assert "Count my question" not in open_page("/number/TK8046/").text


def test_a_full_day_is_said(small, client, monkeypatch):
    monkeypatch.setattr("fitment.services.demand.COUNT_A_DAY", 1)
    client.post("/number/XX991/")
    answer = client.post("/number/XX991/")
    assert answer.status_code == 429
    assert "already logged" in answer.content.decode()


def test_an_address_counts_only_so_many_questions(small, client, settings):
    """The same count as that of the API, so neither is a way around the other."""
    settings.ENQUIRY_RATE = "2/hour"
    elsewhere = {"REMOTE_ADDR": "192.0.2.77"}
    body = {"number": "XX 99-2"}
    assert client.post("/api/v1/enquiries/", body, content_type="application/json", **elsewhere).status_code == 201
    assert client.post("/number/XX991/", **elsewhere).status_code == 303
    refused = client.post("/number/XX993/", **elsewhere)
    assert refused.status_code == 429
    assert int(refused["Retry-After"]) > 0
    assert Enquiry.objects.count() == 2


@pytest.mark.parametrize("text", [VIN, "1M8GDM9A%20XKP042788", "1m8g-dm9a-xkp0-42788"])
def test_a_vin_is_refused_and_not_repeated(small, client, text):
    for answer in (
        client.get(f"/number/{text}/"),
        client.post(f"/number/{text}/"),
        client.get(f"/number/1/?issuer={text}"),
    ):
        assert answer.status_code == 400
        said = answer.content.decode().upper().replace("-", "").replace(" ", "")
        assert VIN not in said
    assert not Enquiry.objects.exists()


@pytest.mark.parametrize("text", ["%00LM-210-B", "LM-210-B%00", "TK8046%00", "%F0%9F%94%A9", "x" * 3000, "%2e%2e"])
def test_odd_signs_are_no_error_of_ours(small, client, text):
    assert client.get(f"/number/{text}/").status_code in (200, 400)
    assert client.post("/", {"q": unquote(text)}).status_code < 500


@pytest.mark.parametrize("text", ["...", "%20", "-/-"])
def test_a_text_without_letter_or_digit_is_refused(small, open_page, text):
    assert "at least one letter or digit" in open_page(f"/number/{text}/", 400).text


def test_a_stamp_in_a_hold_says_what_to_look_for(small, open_page):
    page = open_page("/number/lm-210-b%202210/")
    assert "LM-210 B, batch 2210" in page.text
    assert "On hold: batches 2209 to 2212" in page.text
    assert "play at the boot" in page.text
    assert "porous casting" not in page.text
    assert "Pairs with A , B" in page.text
    assert page.href("QN4-20-SAL") == "/car/?variant=QN4-20-SAL"


@pytest.mark.parametrize(("batch", "held"), [("2208", False), ("2209", True), ("2212", True), ("2213", False)])
def test_only_the_batches_of_the_hold_are_held(small, open_page, batch, held):
    assert ("On hold" in open_page(f"/number/LM-210-B%20{batch}/").text) is held


def test_a_stamp_without_its_batch_names_all_open_holds(small, open_page):
    assert "On hold: batches 2209 to 2212" in open_page("/number/LM-210-B/").text


def test_sales_see_the_cause_and_the_list_to_print(small, open_page, client_of):
    page = open_page("/number/LM-210-B%202210/", by=client_of(Role.SALES))
    assert "porous casting" in page.text
    assert page.href("The cars to call") == "/desk/hold/LM-210/B/"


@pytest.mark.parametrize("text", ["LM210C", "LM400", "LM-210-C%201", "LM-400-A"])
def test_what_is_not_for_sale_is_to_the_public_a_number_nobody_knows(small, client, client_of, text):
    hidden = client.get(f"/number/{text}/")
    assert hidden.status_code == 200
    assert hidden.context["unknown"]
    assert b"LM-400" not in hidden.content.replace(b"LM-400-A", b"")
    assert not client_of(Role.SALES).get(f"/number/{text}/").context["unknown"]


def test_conditions_are_said_in_words(small):
    factories.option("SPORT", title="Sport suspension")
    factories.next_edition()
    called = names()
    assert (
        condition_words("engine = E20 | E25; option.SPORT = no", called)
        == "engine E20 or E25, without Sport suspension"
    )
    assert condition_words("built = 2016-03..2018-07", called) == "built March 2016 to July 2018"
    assert condition_words("market != US", called) == "market not US"
