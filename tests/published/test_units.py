"""Torque and length factors of NIST SP 811, against values.json (from memory, compared with pint)."""

from decimal import Decimal

import pytest

from catalog.units import MM_PER_INCH, NM_PER_LB_FT, inches, lb_ft, rounded
from tests.published import VALUES

UNITS = VALUES["units"]


def test_torque_factors() -> None:
    expected = UNITS["torque"]["expected"]
    assert float(NM_PER_LB_FT) == pytest.approx(expected["N_m_per_lbf_ft"], rel=1e-12), UNITS["torque"]["source"]
    assert float(lb_ft(1)) == pytest.approx(expected["lbf_ft_per_N_m"], rel=1e-12)


def test_length_factors() -> None:
    expected = UNITS["length"]["expected"]
    assert float(MM_PER_INCH) == expected["mm_per_inch"], UNITS["length"]["source"]
    assert float(rounded(inches(62), 3)) == expected["62_mm_in_inch_3_places"]
    assert float(rounded(inches(12), 3)) == expected["M12_mm_in_inch_3_places"]


def test_torques_as_printed() -> None:
    """One place: derived, compared with pint."""
    case = UNITS["round_trips"]
    for torque, printed in zip(case["inputs"]["N_m"], case["expected"]["lbf_ft_1_place"], strict=True):
        assert rounded(lb_ft(torque), 1) == Decimal(str(printed)), case["source"]


def test_interference_in_inches() -> None:
    case = UNITS["interference_units"]
    for micrometres, expected in zip(case["inputs"]["um"], case["expected"]["inch"], strict=True):
        assert float(inches(Decimal(str(micrometres)) / 1000)) == pytest.approx(expected, rel=1e-12), case["source"]
