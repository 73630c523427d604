"""The box: what a line means, in every spelling, and all that it may mean."""

import pytest

from catalog.codes import Role
from fitment.services.fit.understanding import looks_like_number, understand
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def small():
    factories.small_catalogue()


def heard(text: str, viewer: Role = Role.PUBLIC):
    return understand(text=text, viewer=viewer)


@pytest.mark.parametrize("text", ["TK 804-6", "tk804-6", "t.k.8046", "  TK/804/6 ", "ＴＫ８０４６"])
def test_a_number_in_any_spelling(text):
    """Full-width letters are the same in NFKC (UAX #15)."""
    assert heard(text).number == text.strip()
    assert not heard(text).several


@pytest.mark.parametrize("text", ["LM-210-B 2210", "lm-210-b", "LM-210-A 1"])
def test_a_stamp(text):
    assert heard(text).number == text


@pytest.mark.parametrize("text", ["LM-210", "lm210", "Lm 210"])
def test_a_part_and_its_own_number_are_one_meaning(text):
    found = heard(text)
    assert (found.part, found.number, found.several) == ("LM-210", None, False)


def test_a_part_whose_code_is_somebody_elses_number_is_offered_as_both():
    factories.number("LM 210", issuer="OTHER", component=factories.component("C1"))
    factories.next_edition()
    found = heard("LM-210")
    assert (found.part, found.number, found.several) == ("LM-210", "LM-210", True)


def test_a_chassis_that_is_a_number_too_is_offered_as_both():
    factories.number("QN4", issuer="OTHER", kind="other")
    factories.next_edition()
    found = heard("qn4")
    assert found.number == "qn4"
    assert found.cars == ({"chassis": ["QN4"]},)
    assert found.several


def test_a_number_whose_words_say_nothing_of_a_car_is_a_number_alone():
    factories.number("QN4 99-X", issuer="OTHER", kind="other")
    factories.next_edition()
    found = heard("QN4 99-X")
    assert (found.number, found.cars, found.several) == ("QN4 99-X", (), False)


@pytest.mark.parametrize("text", ["TK 804-7", "XX 99.1234", "LM-210-Q 7"])
def test_what_only_looks_like_a_number_is_known_as_such(text):
    found = heard(text)
    assert found.looks_like_number
    assert found.number is None
    assert found.problem


@pytest.mark.parametrize("text", ["front wishbone", "qn9", "blue estate car of 2018", "12 34"])
def test_words_do_not_look_like_numbers(text):
    assert not looks_like_number(text)


def test_a_stamp_of_no_revision_offers_those_the_reader_may_know():
    assert heard("LM-210-Q 7").stamps == ("LM-210-A 7", "LM-210-B 7")
    assert heard("LM-210-Q 7", Role.SALES).stamps == ("LM-210-A 7", "LM-210-B 7", "LM-210-C 7")


def test_numbers_among_the_words_of_a_description_are_found():
    found = heard("qn4 TK 804-6")
    assert found.numbers == ("TK 804-6",)
    assert [word.text for word in found.heard] == ["qn4"]
    assert found.certain_car is None


@pytest.mark.parametrize("text", ["LM210C", "LM-210-C 2210", "LM400", "LM-400", "LM-400-A"])
def test_what_is_not_for_sale_is_to_the_public_as_if_it_were_not_there(text):
    public, staff = heard(text), heard(text, Role.SALES)
    assert (public.number, public.part) == (None, None)
    assert staff.number or staff.part
    assert not any("C" in stamp for stamp in public.stamps)


@pytest.mark.parametrize("text", ["1M8GDM9AXKP042788", "1M8GDM9A-XKP0 42788"])
def test_a_vin_comes_before_everything(text):
    found = heard(text)
    assert found.private
    assert (found.number, found.part, found.looks_like_number) == (None, None, False)


def test_a_mistyped_vin_is_private_unless_it_is_a_number_known_here():
    text = "1M8GDM9AXKP04278O"
    assert heard(text).private
    factories.number(text, issuer="OTHER", kind="other")
    factories.next_edition()
    assert heard(text).number == text
