"""Normal forms of numbers: Unicode NFKC (UAX #15), against values.json (text)."""

import unicodedata

import pytest

from catalog.numbers import folded_form, normal_form
from catalog.sheets.kinds import BadCell, PartNumberKind
from tests.published import VALUES

TEXT = VALUES["text"]


def pairs(name: str) -> list[tuple[str, str]]:
    return list(zip(TEXT[name]["inputs"], TEXT[name]["expected"], strict=True))


@pytest.mark.parametrize(("text", "wanted"), pairs("nfkc"))
def test_the_normalization_the_normal_form_stands_on(text: str, wanted: str):
    """UAX #15 Figure 6 (ligature, superscript, long s with dots: from memory); the rest computed with Python's tables.

    The normal form adds upper case and drops what is neither letter nor decimal digit.
    """
    assert unicodedata.normalize("NFKC", text) == wanted, TEXT["nfkc"]["source"]
    assert normal_form(text) == normal_form(wanted)


@pytest.mark.parametrize(("text", "wanted"), pairs("part_number_normal_form"))
def test_part_numbers(text: str, wanted: str):
    assert normal_form(text) == wanted, TEXT["part_number_normal_form"]["source"]
    if not wanted:
        with pytest.raises(BadCell):
            PartNumberKind().read(text)


def test_a_normal_form_is_its_own():
    """UAX #15: NFKC is idempotent; upper casing after it does not undo that for any sign of the first planes."""
    case = TEXT["idempotent_exceptions"]
    signs = (chr(point) for point in range(0x20, 0x30000) if not 0xD800 <= point < 0xE000)
    bad = [sign for sign in signs if normal_form(normal_form(sign)) != normal_form(sign)]
    assert len(bad) == case["expected"]["count"], case["source"]


@pytest.mark.parametrize("group", ["O0QD", "I1L", "S5", "B8", "Z2", "G6"])
def test_signs_confused_in_print_fold_to_one(group: str):
    """The groups of the contract (common practice, no source)."""
    assert len({folded_form(f"X{sign}7") for sign in group}) == 1
    assert folded_form("XA7") != folded_form("X47")
