"""Every rule of the workbook, spoilt once: the fault names sheet, row and column, and nothing is stored."""

import pytest

from catalog.models import Edition, Maker
from tests.catalog.workbook.small import small

pytestmark = pytest.mark.django_db

VIN = "1M8GDM9AXKP042788"  # the check digit example of 49 CFR 565 (from memory)

# sheet, row from 0, column, text -> a part of what is wrong
CELLS = [
    # codes and texts
    ("makers", 0, "maker", "AL VA", "no space"),
    ("components", 0, "component", "C1;C2", "no ';'"),
    ("components", 0, "component", "C1..2", "no '..'"),
    ("parts", 0, "part", 'LM"1', "no '\"'"),
    ("options", 0, "option", "A@B", "no '@'"),
    ("options", 0, "option", "=A", "starts with '='"),
    ("makers", 0, "title", "=1+1", "starts with '='"),
    ("makers", 0, "title", "+49", "starts with '+'"),
    ("makers", 0, "title", "@home", "starts with '@'"),
    ("makers", 0, "title", "\tAlva", "starts with a tab"),
    ("makers", 0, "title", " =x", "starts with '='"),
    ("makers", 0, "title", "Al\x07va", "control sign"),
    ("makers", 0, "title", "Al\tva", "control sign U+0009"),
    ("components", 0, "construction", "two\nlines", "control sign"),
    ("components", 0, "component", "C1\n", "control sign"),
    ("variants", 0, "options", "SPORT\nCOMFORT", "control sign"),
    ("operations", 1, "needs", "lift_car;\talign", "control sign"),
    ("variants", 0, "body", "saloon|estate", "no '|'"),
    ("variants", 0, "market", "A=B", "no '='"),
    ("variants", 0, "variant", VIN, "vehicle identification number"),
    ("numbers", 0, "number", VIN, "vehicle identification number"),
    ("supersessions", 0, "old", VIN, "vehicle identification number"),
    ("numbers", 0, "number", "-- --", "neither letter nor digit"),
    ("makers", 0, "wmi", "XA", "form"),
    ("makers", 0, "wmi", "XA1 XA1", "twice"),
    ("vin_patterns", 0, "mask", "AB?1", "form"),
    ("vin_patterns", 0, "mask", "ABI1?", "form"),
    ("components", 1, "bore_class", "62 Q7", "nearest: 62 P7"),
    ("components", 1, "bore_class", "62 N19", "nearest: 62 N18"),
    ("revisions", 0, "outside_class", "600 s6", "up to 500 mm"),
    # required, choices, yes and no
    ("makers", 0, "title", "", "empty"),
    ("variants", 0, "market", "", "empty"),
    ("joints", 0, "component", "", "empty"),
    ("locations", 0, "link_end", "subfame", "nearest: subframe"),
    ("topologies", 0, "end", "Front", "nearest: front"),
    ("revisions", 0, "status", "realised", "nearest: released"),
    ("supersessions", 0, "exchange", "none", "not known"),
    ("fit_decisions", 0, "decision", "aproved", "nearest: approved"),
    ("part_rules", 0, "rule", "require", "nearest: requires"),
    ("measurements", 0, "feature", "bores", "nearest: bore"),
    ("job_times", 0, "side", "", "empty"),
    ("fasteners", 0, "head", "hexagon", "nearest"),
    ("technologies", 0, "solid", "perhaps", "neither yes nor no"),
    ("joints", 0, "alternative", "true", "neither yes nor no"),
    # dates
    ("platforms", 0, "built_from", "2016-13", "no month 13"),
    ("platforms", 0, "built_from", "16-02", "not a date"),
    ("variants", 0, "built_to", "2015-02-29", "28 days"),
    ("revisions", 0, "released_on", "2018-03", "not a full day"),
    ("fit_decisions", 0, "decided_on", "2018", "not a full day"),
    ("supersessions", 0, "since", "2016-03", "not a full day"),
    ("test_fits", 0, "done_on", "02.04.2018", "not a date"),
    # figures, units and ranges
    ("variants", 0, "kerb_mass_kg", "1500 kg", "not a number"),
    ("variants", 0, "kerb_mass_kg", "1500,5", "not a number"),
    ("variants", 0, "front_mass_share", "1.01", "above 1"),
    ("variants", 0, "in_operation", "12.5", "whole number"),
    ("variants", 0, "in_operation", "-1", "negative"),
    ("components", 0, "bore_max_mm", "62.123456", "6 decimal places"),
    ("components", 0, "bore_class", "62 N", "form"),
    ("components", 0, "taper", "10", "form"),
    ("components", 0, "seat_length_mm", "1e2", "not a number"),
    ("components", 0, "seat_length_mm", "12345678901", "too great"),
    ("operations", 0, "skill", "6", "above 5"),
    ("operations", 0, "skill", "0", "below 1"),
    ("operations", 0, "refit_min", "-1", "negative"),
    ("equipment", 0, "least_grade", "6", "above 5"),
    ("fasteners", 0, "count", "0", "below 1"),
    ("fasteners", 0, "torque_nm", "-5", "negative"),
    ("axle_locations", 0, "pieces", "0", "below 1"),
    ("parts", 0, "kit_pieces", "0", "below 1"),
    ("parts", 0, "bench_skill", "0", "below 1"),
    ("measurements", 0, "samples", "0", "below 1"),
    ("materials", 0, "poisson", "1.1", "above 1"),
    ("enquiries", 0, "count", "0", "below 1"),
    ("parts", 0, "blank_holes_mm", "10.1 x", "not a number"),
    # least above most
    ("components", 0, "bore_min_mm", "63", "above bore_max_mm"),
    ("revisions", 1, "outside_min_mm", "63", "above outside_max_mm"),
    ("parts", 0, "bench_min", "11", "above bench_likely"),
    ("parts", 0, "blank_outside_min_mm", "65", "above blank_outside_max_mm"),
    ("operations", 1, "remove_min", "9", "above remove_likely"),
    ("variants", 0, "built_from", "2020", "later than built_to"),
    ("joints", 0, "built_from", "2016-03-02", "later than built_to"),
    ("holds", 0, "opened_on", "2023-02-30", "28 days"),
    ("holds", 0, "batch_from", "10000", "comes after batch_to"),
    ("test_fits", 0, "out_on", "2018-05-02", "later than back_on"),
    # references
    ("platforms", 0, "maker", "ALVE", "nearest: ALVA"),
    ("platforms", 1, "predecessor", "QN2", "no 'QN2' of ALVA"),
    ("variants", 0, "chassis", "QN44", "nearest: QN4"),
    ("variants", 0, "maker", "ORM", "no 'ORM' in makers"),
    ("variants", 0, "front_axle", "FX9", "no 'FX9' in axles"),
    ("variants", 0, "options", "SPURT", "nearest: SPORT"),
    ("vin_patterns", 0, "variants", "V1 V9", "no 'V9' in variants"),
    ("axles", 0, "topology", "strutt", "nearest: strut"),
    ("joints", 0, "location", "arm.iner", "nearest: arm.inner"),
    ("joints", 3, "axle", "RX2", "no 'RX2' in axles"),
    ("joints", 0, "component", "C9", "no 'C9' in components"),
    ("components", 0, "arm_material", "aloy", "nearest: alloy"),
    ("ways", 0, "operations", "arm_off | arm_up", "no 'arm_up' of FX1"),
    ("numbers", 2, "part", "LM-9", "no 'LM-9' in parts"),
    ("numbers", 2, "revision", "C", "no 'C' of LM-1"),
    ("parts", 0, "technology", "bearings", "nearest: bearing"),
    ("parts", 0, "bench_equipment", "pres", "nearest: press"),
    ("revisions", 0, "material", "stel", "nearest: steel"),
    ("holds", 0, "revision", "X", "no 'X' of LM-1"),
    ("part_rules", 0, "other", "LM-3", "no 'LM-3' in parts"),
    ("fit_decisions", 0, "component", "C7", "no 'C7' in components"),
    ("operations", 1, "needs", "lift_kar", "nearest: lift_car"),
    ("operations", 1, "entails", "aline", "nearest: align"),
    ("operations", 1, "consumables", "greese", "nearest: grease"),
    ("operations", 0, "equipment", "lift | stand", "nearest: stands"),
    ("operations", 0, "hazards", "raised", "nearest: raised_car"),
    ("fastener_changes", 0, "fastener", "f2", "no 'f2' of FX1 / arm_off"),
    ("fastener_changes", 0, "operation", "arm_of", "nearest: arm_off"),
    ("measurements", 0, "component", "C8", "no 'C8' in components"),
    ("hardpoints", 0, "inner_location", "arm.middle", "no location 'arm.middle'"),
    ("test_fits", 0, "variant", "V7", "no 'V7' in variants"),
    ("job_times", 0, "parts", "LM-7", "no 'LM-7' in parts"),
    ("job_times", 0, "parts", "LM-1:front.arm.iner", "nearest: arm.inner"),
    ("job_times", 0, "parts", "LM-1:arm.inner", "names no part of a job"),
    ("job_times", 0, "equipment", "lift pres", "nearest: press"),
    ("job_times", 0, "equipment", "home lift", "mixes a set"),
    ("stances", 0, "location", "arm.oter", "nearest: arm.outer"),
    ("enquiries", 0, "location", "toe.inner", "front. or rear."),
    # conditions and groups
    ("fit_decisions", 1, "conditions", "engin = E20", "'engin' is no attribute"),
    ("fit_decisions", 1, "conditions", "engine = E21", "nearest: E20"),
    ("fit_decisions", 1, "conditions", "engine", "no '='"),
    ("fit_decisions", 1, "conditions", "option.SPROT = yes", "nearest: SPORT"),
    ("fit_decisions", 1, "conditions", "option.SPORT = maybe", "yes or no"),
    ("fit_decisions", 1, "conditions", "market = US", "has the market 'US'"),
    ("fit_decisions", 1, "conditions", "chassis = QN9", "has the chassis 'QN9'"),
    ("fit_decisions", 1, "conditions", "built = 2018..2016", "ends before it begins"),
    ("joints", 1, "conditions", "built = 2018", "cannot stand"),
    ("operations", 2, "conditions", "axle = FX1", "cannot stand"),
    ("operations", 2, "conditions", "location = arm.inner", "cannot stand"),
    ("operations", 2, "if_absent", "", "no if_absent"),
    ("operations", 1, "needs", "lift_car;", "empty place"),
    ("operations", 1, "needs", "| lift_car", "empty place"),
    # what agrees with what
    ("variants", 0, "options", "SPORT TOW", "an option and standard too"),
    ("variants", 1, "standard_options", "COMFORT SPORT", "both standard"),
    ("options", 1, "required", "no", "required: yes"),
    ("options", 2, "required", "yes", "without a group"),
    ("variants", 0, "front_axle", "RX1", "is a rear axle"),
    ("variants", 0, "rear_axle", "FX2", "is a front axle"),
    ("axles", 1, "topology", "five_link", "of the rear end"),
    ("platforms", 0, "predecessor", "QN4", "lead back"),
    ("locations", 2, "role", "lateral", "'braking' on strut"),
    ("locations", 2, "link", "leg", "'arm' on strut"),
    ("parts", 0, "bench_max", "", "bench_max is empty"),
    ("part_rules", 0, "other", "", "names no other part"),
    ("part_rules", 0, "other", "LM-1", "requires itself"),
    ("operations", 0, "per_side", "yes", "not per side"),
    ("operations", 0, "entails", "align", "names 'align', which is none"),
    ("fasteners", 0, "torque_nm", "1100", "above the ultimate"),
    ("fastener_changes", 0, "torque_nm", "1000", "above the ultimate"),
    ("wheels", 0, "spring_kind", "links", "nearest: link"),
    ("test_fits", 0, "axle", "FX2", "does not have the axle 'FX2'; it has FX1 and RX1"),
]


@pytest.mark.parametrize(("sheet", "at", "column", "text", "wrong"), CELLS, ids=lambda value: str(value)[:24])
def test_a_spoilt_cell_is_refused_by_name(load, sheet: str, at: int, column: str, text: str, wrong: str):
    sheets = small()
    sheets[sheet][at][column] = text
    report = load(sheets)
    places = [(fault.sheet, fault.row, fault.column) for fault in report.errors]
    assert (sheet, at + 2, column) in places, report.lines()
    here = [str(fault) for fault in report.errors if (fault.sheet, fault.row, fault.column) == (sheet, at + 2, column)]
    assert any(wrong in line for line in here), here
    assert all(fault.right for fault in report.errors)
    assert all(len(str(fault).splitlines()) == 1 for fault in report.errors)
    assert not Maker.objects.exists()
    assert not Edition.objects.exists()


def test_every_fault_comes_in_one_go(load):
    sheets = small()
    sheets["makers"][0]["title"] = ""
    sheets["variants"][0]["engine"] = ""
    sheets["variants"][2]["built_to"] = "2011"
    sheets["joints"][2]["component"] = "C9"
    sheets["stances"][0]["stance"] = "want"
    places = {(fault.sheet, fault.row, fault.column) for fault in load(sheets).errors}
    assert places == {
        ("makers", 2, "title"), ("variants", 2, "engine"), ("variants", 4, "built_from"), ("joints", 4, "component"),
        ("stances", 2, "stance"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("sheet", "at", "column", "text"),
    [
        ("topologies", 0, "end", "middle"),
        ("axles", 0, "end", "frnt"),
        ("locations", 0, "role", "brake"),
        ("axles", 0, "topology", "strutt"),
        ("operations", 1, "needs", "lift_kar"),
    ],
)
def test_a_fault_is_not_named_again_at_what_rests_on_it(load, sheet: str, at: int, column: str, text: str):
    sheets = small()
    sheets[sheet][at][column] = text
    assert [(fault.sheet, fault.row, fault.column) for fault in load(sheets).errors] == [(sheet, at + 2, column)]


def test_cells_under_a_mistyped_head_are_not_named_one_by_one(loaded):
    report = loaded({"makers": [{"maker": "ALVA", "titel": "Alva"}]})
    assert [(fault.row, fault.column) for fault in report.errors] == [(1, "titel")]


@pytest.mark.parametrize(
    ("sheet", "column", "text"),
    [
        ("numbers", "number", "1M8GD-M9AX KP042788"),
        ("kit_items", "hand", VIN),
        ("fit_decisions", "conditions", f"variant = {VIN}"),
        ("makers", VIN, "x"),
    ],
)
def test_no_report_repeats_a_vehicle_identification_number(load, sheet: str, column: str, text: str):
    sheets = small()
    sheets[sheet][0][column] = text
    report = load(sheets)
    assert report.refused
    assert "KP042788" not in repr(report.to_json())


def test_a_key_twice_is_refused_in_its_canonical_form(load):
    sheets = small()
    sheets["numbers"].append(sheets["numbers"][0] | {"number": "1234567"})
    sheets["fit_decisions"].append(sheets["fit_decisions"][1] | {"conditions": "market!=UK;engine=E30|E20"})
    faults = load(sheets).errors
    assert {(fault.sheet, fault.row) for fault in faults} == {("numbers", 5), ("fit_decisions", 4)}
    assert all("already in row" in fault.wrong for fault in faults)


def test_all_rows_of_one_number_have_one_kind(load):
    sheets = small()
    sheets["numbers"].append(sheets["numbers"][0] | {"component": "C3", "kind": "assembly"})
    (fault,) = load(sheets).errors
    assert (fault.sheet, fault.row, fault.column) == ("numbers", 5, "kind")


@pytest.mark.parametrize("rings", [1, 2])
def test_rings_of_supersessions_are_refused(load, rings: int):
    sheets = small()
    link = sheets["supersessions"][0]
    sheets["supersessions"] = [
        link | {"old": old, "new": new}
        for ring in range(rings)
        for old, new in (
            (f"{ring}A", f"{ring}B"),
            (f"{ring}B", f"{ring} C"),
            (f"{ring}-C", f"{ring}a"),
            (f"{ring}C", f"{ring}D"),
        )
    ]
    faults = load(sheets).errors
    assert [(fault.row, fault.column) for fault in faults] == [(4 + 4 * ring, "new") for ring in range(rings)]
    assert "0-C > 0A > 0B > 0-C" in faults[0].wrong


def test_a_number_cannot_take_its_own_place(load):
    sheets = small()
    sheets["supersessions"][0]["new"] = "1234567"
    (fault,) = load(sheets).errors
    assert (fault.row, fault.column) == (2, "new")


def test_an_operation_that_can_never_be_ordered_is_refused(load):
    sheets = small()
    sheets["operations"][1]["needs"] = "lift_car; align"
    sheets["operations"][3]["needs"] = "arm_off"
    faults = load(sheets).errors
    assert {(fault.row, fault.column) for fault in faults} == {(3, "needs"), (5, "needs")}
    assert all("can never be ordered" in fault.wrong for fault in faults)


def test_a_ring_with_an_alternative_beside_it_is_an_order(load):
    sheets = small()
    sheets["operations"][1]["needs"] = "align | lift_car"
    sheets["operations"][3]["needs"] = "arm_off"
    assert not load(sheets).errors


def test_what_may_be_absent_and_open_holds_nothing_up(load):
    sheets = small()
    sheets["operations"][2] |= {"needs": "arm_off", "if_absent": "open"}
    sheets["operations"][1]["needs"] = "arm_down"
    assert not load(sheets).errors
    sheets["operations"][2]["if_absent"] = "blocked"
    assert {fault.row for fault in load(sheets).errors} == {3, 4}


def test_an_operation_that_no_way_leads_to_is_refused(load):
    sheets = small()
    sheets["operations"][1]["entails"] = ""
    (fault,) = load(sheets).errors
    assert (fault.sheet, fault.row, fault.column) == ("operations", 5, "operation")
    assert "no way" in fault.wrong


def test_steps_of_the_car_are_equal_at_every_axle(load):
    sheets = small()
    there = sheets["operations"][0] | {"axle": "RX1"}
    sheets["ways"].append(
        {"axle": "RX1", "location": "toe.inner", "way": "w", "operations": "lift_car", "piece_out": "no"}
    )
    sheets["operations"].append(there)
    assert not load(sheets, check=True).errors
    sheets["operations"][4] = there | {"remove_likely": "3.5"}
    (fault,) = load(sheets).errors
    assert (fault.sheet, fault.row, fault.column) == ("operations", 6, "remove_likely")
    sheets["operations"][4] = there
    sheets["fasteners"].append(sheets["fasteners"][0] | {"axle": "RX1", "operation": "lift_car"})
    (fault,) = load(sheets).errors
    assert (fault.sheet, fault.row) == ("fasteners", 3)
    assert "is not at FX1" in fault.wrong
    sheets["fasteners"].append(sheets["fasteners"][0] | {"operation": "lift_car", "torque_nm": "90"})
    (fault,) = load(sheets).errors
    assert (fault.sheet, fault.column) == ("fasteners", "fastener")


def test_a_torque_above_proof_warns_with_the_figure_and_an_unknown_grade_is_said(load):
    sheets = small()
    sheets["fasteners"][0]["torque_nm"] = "190"
    report = load(sheets, check=True)
    assert not report.errors
    (warning,) = report.warnings
    assert (warning.sheet, warning.row, warning.column) == ("fasteners", 2, "torque_nm")
    assert "79.2 kN" in warning.wrong
    sheets["fasteners"][0] |= {"grade": "", "torque_nm": "1900"}
    report = load(sheets, check=True)
    assert "unchecked" in report.warnings[0].wrong
    sheets["fasteners"][0] |= {"angle_deg": "90"}
    assert not load(sheets, check=True).warnings


def test_enquiries_that_ask_nothing_are_refused(load):
    sheets = small()
    sheets["enquiries"][0] |= {"maker": "", "chassis": "", "location": ""}
    assert [(fault.sheet, fault.row) for fault in load(sheets).errors] == [("enquiries", 2)]


def test_a_component_left_out_is_filled_in_where_there_is_one(load, dumped):
    sheets = small()
    sheets["test_fits"][0]["component"] = ""
    assert not load(sheets).errors  # V1 always has SPORT, so the joint without it is none of its own
    assert dumped()["test_fits"][0]["component"] == "C1"
    assert not load(sheets).has_changes


def test_a_component_left_out_is_asked_for_where_there_may_be_two(load):
    sheets = small()
    sheets["test_fits"][0]["component"] = ""
    sheets["variants"][0]["options"] = "COMFORT SPORT"
    (fault,) = load(sheets).errors
    assert (fault.sheet, fault.row, fault.column) == ("test_fits", 2, "component")
    assert "may have C1 or C2 there" in fault.wrong


def test_a_spring_on_a_link_names_the_link(load):
    sheets = small()
    sheets["wheels"][0]["spring_kind"] = "link"
    assert [(fault.row, fault.column) for fault in load(sheets).errors] == [(2, "spring_link")]
    sheets["wheels"][0]["spring_link"] = "arms"
    assert "nearest: arm" in load(sheets).errors[0].wrong
    sheets["wheels"][0]["spring_link"] = "arm"
    assert not load(sheets).errors
