"""ISO 898-1 areas and loads, T = K d F, and drives by standard, against values.json (tables from memory)."""

import pytest

from catalog.bolts import K_BLACK_DRY, K_ZINC_PLATED, bolt_loads, check_torque, metric_thread, preload, stress_area
from fitment.job.fasteners import usual_drive
from fitment.job.tools import TORQUE_WRENCHES, covers
from tests.published import VALUES

BOLTS, DRIVES = VALUES["bolts"], VALUES["drives"]
HEX_HEADS = {
    "hex_iso": ("hex", "{} hex"),
    "hex_flange_en1665": ("hex_flange", "{} hex"),
    "hex_nut_iso4032": ("nut", "{} hex"),
    "hex_flange_nut_en1661": ("flange_nut", "{} hex"),
    "hex_socket_iso4762": ("internal_hex", "{} internal hex"),
    "hexalobular_iso14579": ("internal_hexalobular", "T{}"),
}


@pytest.mark.parametrize("name", ["stress_area_coarse", "stress_area_fine", "stress_area_exact"])
def test_stress_area(name: str) -> None:
    """ISO 898-1:2013 Tables 4 to 7: from memory, and derived from the thread's geometry (stress_area_exact)."""
    case = BOLTS[name]
    for thread, area in case["expected"].items():
        size = metric_thread(thread)
        assert size == (case["inputs"][thread]["d"], case["inputs"][thread]["pitch"])
        assert stress_area(*size) == pytest.approx(area, rel=case["tolerance"]["relative"]), case["source"]


@pytest.mark.parametrize(("name", "which"), [("proof_load_coarse", 0), ("ultimate_load_coarse", 1)])
def test_loads_of_coarse_threads(name: str, which: int) -> None:
    """ISO 898-1:2013 Tables 4 and 5: from memory, compared with stored copies."""
    case = BOLTS[name]
    for grade, by_thread in case["expected"].items():
        for thread, load in by_thread.items():
            size = metric_thread(thread)
            assert size is not None
            loads = bolt_loads(*size, grade)
            assert loads is not None
            assert loads[which] == pytest.approx(load, rel=case["tolerance"]["relative"]), case["source"]


def test_loads_of_fine_threads() -> None:
    """ISO 898-1:2013 Tables 6 and 7: derived."""
    case = BOLTS["proof_and_ultimate_fine"]
    for grade, by_thread in case["expected"].items():
        for thread, loads in by_thread.items():
            size = metric_thread(thread)
            assert size is not None
            expected = (loads["proof"], loads["ultimate"])
            assert bolt_loads(*size, grade) == pytest.approx(expected, rel=case["tolerance"]["relative"])


def test_preload_and_what_it_means() -> None:
    """Shigley eq. 8-27: derived, compared with pint; verdicts by the loads of ISO 898-1."""
    case = BOLTS["torque_preload"]
    states = {"ok": "ok", "above proof: warning": "warning"}
    for row, expected in zip(case["inputs"], case["expected"], strict=True):
        size = metric_thread(row["thread"])
        assert size is not None
        assert preload(row["torque_Nm"], size[0], row["K"]) == pytest.approx(expected["preload_N"], rel=1e-8)
        state = states.get(expected["verdict"], "warning" if "not refused" in expected["verdict"] else "refused")
        found = check_torque(thread=row["thread"], grade=row["class"], torque_nm=row["torque_Nm"])
        assert found.state == state, f"{row}: {expected['verdict']}"


def test_nut_factors() -> None:
    """Shigley Table 8-15: from memory, not verified a second way."""
    case = BOLTS["nut_factor_K"]
    factors = dict(zip(case["inputs"]["condition"], case["expected"], strict=True))
    assert factors["zinc plated"] == K_ZINC_PLATED
    assert factors["non-plated, black"] == K_BLACK_DRY


@pytest.mark.parametrize("name", HEX_HEADS)
def test_usual_drive(name: str) -> None:
    """ISO 4014/4017, EN 1665, ISO 4032, EN 1661, ISO 4762, ISO 14579: tables from memory, compared with copies."""
    head, form = HEX_HEADS[name]
    for thread, size in DRIVES[name]["expected"].items():
        assert usual_drive(thread, head) == form.format(size), DRIVES[name]["source"]


def test_torque_wrench_ranges() -> None:
    """ISO 6789-1:2017, 20 % to 100 %: derived."""
    case = DRIVES["torque_wrench_range"]
    assert [list(wrench) for wrench in TORQUE_WRENCHES] == case["inputs"]["ranges_Nm"]
    for torque, expected in case["expected"].items():
        assert [list(wrench) for wrench in TORQUE_WRENCHES if covers(wrench, int(torque))] == expected, case["source"]
