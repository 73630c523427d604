"""VINs against 49 CFR 565 and ISO 3779 (tests/published/values.json: tables from memory, checked as it says)."""

import re

import pytest

from catalog.vin import MASK, BadVin, check_digit, decode, has_vin_shape, mask_fits, matching, model_year
from tests.published import VALUES

VIN = VALUES["vin"]
RIGHT = [name for name in VIN if name.startswith("check_digit_")]


def with_year_signs(position_7: str, position_10: str) -> str:
    return f"WTK000{position_7}00{position_10}0000000"


@pytest.mark.parametrize("name", RIGHT)
def test_check_digit_of_worked_examples(name):
    case = VIN[name]
    assert check_digit(case["inputs"]["vin"]) == case["expected"]["check_digit"], case["source"]
    assert decode(case["inputs"]["vin"]).check_digit_right


@pytest.mark.parametrize("letter", VIN["transliteration"]["expected"])
def test_value_of_each_letter(letter):
    # Position 8 has weight 10, so that the sum modulo 11 tells the letter's value alone.
    case = VIN["transliteration"]
    remainder = case["expected"][letter] * 10 % 11
    vin = "0" * 7 + letter + "0" * 9
    assert check_digit(vin) == ("X" if remainder == 10 else str(remainder)), case["source"]


@pytest.mark.parametrize("position", range(17))
def test_weight_of_each_position(position):
    case = VIN["weights"]
    vin = "0" * position + "1" + "0" * (16 - position)
    weight = case["expected"][position]
    assert check_digit(vin) == ("X" if weight == 10 else str(weight)), case["source"]


@pytest.mark.parametrize("vin", VIN["wrong_check_digit"]["inputs"]["vins"])
def test_wrong_check_digit_is_an_error_in_north_america(vin):
    with pytest.raises(BadVin, match="check digit"):
        decode(vin)


def test_wrong_check_digit_elsewhere_is_only_a_hint():
    decoded = decode("WTK00000000000000")
    assert not decoded.check_digit_right
    assert not decoded.north_american


@pytest.mark.parametrize("text", VIN["invalid"]["inputs"]["strings"])
def test_invalid_texts(text):
    with pytest.raises(BadVin) as caught:
        decode(text)
    assert text == "" or text not in str(caught.value)


@pytest.mark.parametrize(("seventh", "cycle"), [("0", "position_7_numeric"), ("A", "position_7_alphabetic")])
def test_model_years(seventh, cycle):
    case = VIN["model_year"]
    years = {sign: model_year(with_year_signs(seventh, sign)) for sign in case["inputs"]["position_10"]}
    assert years == case["expected"][cycle], case["source"]


@pytest.mark.parametrize("sign", ["U", "Z", "0"])
def test_signs_that_name_no_year(sign):
    assert model_year(with_year_signs("0", sign)) is None, VIN["model_year_not_used"]["source"]


def test_model_year_examples():
    case = VIN["model_year_examples"]
    years = [model_year(with_year_signs(*pair)) for pair in case["inputs"]["pairs_position_7_and_10"]]
    assert years == case["expected"], case["source"]


def test_every_changed_digit_is_caught():
    case = VIN["single_errors_caught"]
    vin = case["inputs"]["vin"]
    undetected = [
        (place, digit)
        for place in range(17)
        for digit in "023456789"
        if place != 8 and check_digit(vin[:place] + digit + vin[place + 1 :]) == "1"
    ]
    assert len(undetected) == case["expected"]["digit_changes_undetected"], case["source"]
    assert check_digit("A" + vin[1:]) == check_digit("J" + vin[1:]) == "1"


@pytest.mark.parametrize(
    "text", ["1M8GDM9AXKP042788", "1m8gdm9axkp042788", "1M8 GDM9AX-KP042788", "1M8GDM9AX\u2011KP042788"]
)
def test_shape_through_spaces_hyphens_and_case(text):
    assert has_vin_shape(text)


@pytest.mark.parametrize("text", ["1M8GDM9AXKP04278", "1M8GDM9AXKPO42788", "tension_link.inner", "2016-03..2018-07"])
def test_other_texts_have_no_vin_shape(text):
    assert not has_vin_shape(text)


@pytest.mark.parametrize(("mask", "fits"), [("AB12C", True), ("?B1?C", True), ("?????", True), ("AB12D", False)])
def test_masks(mask, fits):
    assert mask_fits(mask, "AB12C") is fits


@pytest.mark.parametrize("mask", ["AB12", "AB12CD", "AB12I", "ab12c", "A B1C"])
def test_bad_masks(mask):
    assert not re.fullmatch(MASK, mask)


def test_matching_masks_unite_within_their_maker_identifier():
    vin = decode("WTKAB12C000000000")
    patterns = [("WTK", "AB???"), ("WTK", "?????"), ("WTX", "?????"), ("WTK", "AC???")]
    assert matching(patterns, vin) == patterns[:2]
