"""Codes, values and the shape of a VIN that neither may have."""

import pytest

from catalog.charset import code_fault, control_fault, value_fault, vin_fault


@pytest.mark.parametrize("text", ["LM-210", "tension_link.inner", "E20", "A'B", "Ü", "1.5", "a.b.c"])
def test_codes(text: str):
    assert code_fault(text) is None


@pytest.mark.parametrize("sign", [*';|=:/@,"', " ", "\t", "\n", "\u00a0", "\u2003", ".."])
def test_signs_no_code_holds(sign: str):
    assert code_fault(f"A{sign}B")


@pytest.mark.parametrize("sign", ";|=")
def test_signs_no_value_holds(sign: str):
    assert value_fault(f"A{sign}B")
    assert value_fault("five door, left / right: 2.0") is None


@pytest.mark.parametrize(
    "text", ["1M8GDM9AXKP042788", "1m8gdm9axkp042788", "1M8 GDM9A-XKP042788", "1M8GDM9AXKP04278\u20118"]
)
def test_what_has_the_shape_of_a_vin(text: str):
    """49 CFR 565's example (from memory), in spellings that people use."""
    assert vin_fault(text)


@pytest.mark.parametrize("text", ["1M8GDM9AXKP04278", "1M8GDM9AXKP0427889", "IM8GDM9AXKP042788", "1M8GDM9A.KP042788"])
def test_what_has_not(text: str):
    assert vin_fault(text) is None


def test_control_signs():
    assert control_fault("a\nb", line_breaks=True) is None
    assert control_fault("a\nb")
    assert "U+0000" in (control_fault("a\0b", line_breaks=True) or "")
    assert control_fault("a\x85b")
