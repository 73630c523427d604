"""The first page: the box and the steps, without JavaScript."""

import pytest

from tests import factories

VIN = "1M8GDM9AXKP042788"  # the example of 49 CFR 565


def ask(client, text: str):
    return client.post("/", {"q": text})


def test_the_steps_lead_by_links_from_a_maker_to_a_car_and_its_month(small, open_page):
    makers = open_page("/")
    chassis = open_page(makers.href("Alva").partition("#")[0])
    variants = open_page(chassis.href("QN4").partition("#")[0])
    months = open_page(variants.href("20 saloon").partition("#")[0])
    car = months.href("May 2018")
    assert car == "/car/?variant=QN4-20-SAL&built=2018-05"
    assert "built May 2018" in open_page(car).text


def test_every_step_can_be_taken_back(small, open_page):
    months = open_page("/?maker=ALVA&chassis=QN4&variant=QN4-20-SAL")
    changes = [href for href, said in months.links if said.startswith("change")]
    assert changes == ["/#steps", "/?maker=ALVA#steps", "/?maker=ALVA&chassis=QN4#steps"]


def test_who_does_not_know_the_variant_is_asked_and_the_month_may_be_left_out(small, open_page):
    assert open_page("/?maker=ALVA&chassis=QN4").href("Not sure") == "/car/?maker=ALVA&chassis=QN4"
    assert (
        open_page("/?maker=ALVA&chassis=QN4&variant=QN4-20-SAL").href("Build month not") == "/car/?variant=QN4-20-SAL"
    )


@pytest.mark.parametrize("path", ["/?maker=NOBODY", "/?maker=ALVA&chassis=ZZ9", "/?maker=ALVA&chassis=QN4&variant=NO"])
def test_a_step_that_names_nothing_is_said(small, open_page, path):
    assert f"'{path.rsplit('=', 1)[1]}' is not in this catalogue" in open_page(path).text


def test_an_empty_catalogue_says_what_to_do(db, open_page):
    assert "Load a catalogue first" in open_page("/").text


def test_a_description_leads_to_the_cars_address(small, client):
    answer = ask(client, "qn4 20 saloon 05/2018")
    assert answer.status_code == 303
    assert answer["Location"] == "/car/?chassis=QN4&designation=20&body=saloon&built=2018-05"


def test_a_part_leads_to_its_page(small, client):
    assert ask(client, "lm 210")["Location"] == "/part/LM-210/"


def test_a_prototype_is_to_the_public_like_a_word_nobody_knows(small, client):
    known, unknown = ask(client, "LM-400"), ask(client, "LM-499")
    assert known.status_code == unknown.status_code
    assert "/part/" not in known.get("Location", "")


def test_what_was_not_understood_is_said_and_what_was_typed_stays(small, client):
    answer = ask(client, "qn4 estte")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert 'value="qn4 estte"' in page
    assert "Not understood: &#x27;estte&#x27;" in page
    assert 'value="qn4 estate"' in page, "the nearest is offered as a text to ask"
    assert 'href="/car/?chassis=QN4"' in page, "going on without the word is the reader's choice"


def test_two_readings_are_two_offers(small, client):
    page = ask(client, "qn4 3/4/2018").content.decode()
    assert "/car/?chassis=QN4&amp;built=2018-04-03" in page
    assert "/car/?chassis=QN4&amp;built=2018-03-04" in page


@pytest.mark.parametrize("text", [VIN, "1m8g dm9ax-kp042788", "1M8GDM9AXKP04278O"])
def test_a_vin_is_never_shown_again_and_never_part_of_an_address(small, client, text):
    answer = ask(client, text)
    assert VIN[:8] not in answer.get("Location", "").upper()
    assert VIN[3:11].encode() not in answer.content.upper()


def test_a_vin_leads_to_the_cars_of_its_pattern(small, client):
    from catalog.models import VinPattern, VinPatternVariant

    factories.maker("ALVA", wmi=["1M8"])
    pattern = VinPattern.objects.create(wmi="1M8", mask="GDM9A")
    VinPatternVariant.objects.create(pattern=pattern, variant=factories.variant("QN4-20-SAL"))
    # By position 10 the car is of 1989, before this variant was built: the maker is all that is left.
    page = ask(client, VIN).content.decode()
    assert "/car/?maker=ALVA" in page
    assert "none of its cars" in page


@pytest.mark.parametrize("text", ["", "   ", "--"])
def test_nothing_typed_is_answered_with_what_to_type(small, client, text):
    answer = ask(client, text)
    assert answer.status_code == 422
    assert b"Type a" in answer.content
