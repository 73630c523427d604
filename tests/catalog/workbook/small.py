"""A small whole catalogue, every sheet with a row or more, to be spoilt by tests. Everything in it is invented."""

import csv
from copy import deepcopy
from pathlib import Path

Table = list[dict[str, str]]

_MINUTES = {
    "remove_min": "2",
    "remove_likely": "3",
    "remove_max": "6",
    "refit_min": "3",
    "refit_likely": "4",
    "refit_max": "8",
}


def _operation(axle: str, operation: str, **more: str) -> dict[str, str]:
    row = {
        "axle": axle,
        "operation": operation,
        "title": operation,
        "text": "",
        "watch_for": "",
        "zone": "",
        "per_side": "no",
    }
    rest = {
        "skill": "1",
        "needs": "",
        "entails": "",
        "equipment": "",
        "consumables": "",
        "hazards": "",
        "alignment": "no",
    }
    return row | _MINUTES | rest | {"conditions": "", "if_absent": ""} | more


def _variant(variant: str, **more: str) -> dict[str, str]:
    row = {
        "variant": variant,
        "maker": "ALVA",
        "chassis": "QN4",
        "designation": "20",
        "body": "saloon",
        "engine": "E20",
    }
    rest = {"drivetrain": "rwd", "steering": "left", "market": "EU", "built_from": "2014", "built_to": "2019-07"}
    ends = {
        "front_axle": "FX1",
        "rear_axle": "RX1",
        "options": "SPORT",
        "standard_options": "TOW",
        "kerb_mass_kg": "1500",
    }
    figures = {"front_mass_share": "0.5", "wheelbase_mm": "2800", "cg_height_mm": "520", "track_mm": "1560"}
    return row | rest | ends | figures | {"in_operation": "900"} | more


def _revision(revision: str, **more: str) -> dict[str, str]:
    row = {
        "part": "LM-1",
        "revision": revision,
        "status": "released",
        "released_on": "2018-03-01",
        "outside_min_mm": "62.1",
    }
    rest = {
        "outside_max_mm": "62.12",
        "outside_class": "",
        "body_length_mm": "44",
        "sleeve_min_mm": "",
        "sleeve_max_mm": "",
    }
    more_of = {"hole_min_mm": "", "hole_max_mm": "", "taper": "", "taper_large_mm": "", "centre_offset_mm": ""}
    last = {
        "housing_bore_mm": "30",
        "material": "steel",
        "roughness_rz_um": "6.3",
        "rotation_deg": "20",
        "tilt_deg": "8",
        "radial_stiffness_n_mm": "",
    }
    return row | rest | more_of | last | {"change": "", "reason": "", "exchange": ""} | more


def _component(component: str, **more: str) -> dict[str, str]:
    names = (
        "process bore_min_mm bore_max_mm bore_class seat_length_mm clevis_gap_min_mm clevis_gap_max_mm bolt_mm taper "
        "taper_large_mm centre_offset_mm arm_material arm_outside_mm roughness_rz_um radial_stiffness_n_mm"
    )
    empty = dict.fromkeys(names.split(), "")
    return {"component": component, "title": component, "construction": "bonded_rubber"} | empty | more


SHEETS: dict[str, Table] = {
    "catalogue": [{"catalogue": "small", "edition": "", "as_of": "2025-06-30"}],
    "makers": [{"maker": "ALVA", "title": "Alva", "wmi": "XA1 XA2"}],
    "platforms": [
        {"maker": "ALVA", "chassis": "QN3", "title": "Third", "built_from": "2005", "built_to": "2013", "predecessor": ""},
        {"maker": "ALVA", "chassis": "QN4", "title": "Fourth", "built_from": "2014", "built_to": "", "predecessor": "QN3"},
    ],
    "topologies": [
        {"topology": "strut", "end": "front", "title": "Strut", "note": ""},
        {"topology": "wishbone", "end": "front", "title": "Wishbone", "note": ""},
        {"topology": "five_link", "end": "rear", "title": "Five link", "note": "a note"},
    ],
    "locations": [
        {"topology": topology, "location": location, "link": location.split(".")[0], "link_end": "subframe",
         "title": location, "role": "braking", "in_range": "yes", "also_called": ""}
        for topology, location in (("strut", "arm.inner"), ("strut", "arm.outer"), ("wishbone", "arm.inner"), ("five_link", "toe.inner"))
    ],
    "axles": [
        {"axle": "FX1", "end": "front", "topology": "strut", "title": ""},
        {"axle": "FX2", "end": "front", "topology": "wishbone", "title": ""},
        {"axle": "RX1", "end": "rear", "topology": "five_link", "title": ""},
    ],
    "options": [
        {"option": "SPORT", "title": "Sport", "group": "ride", "required": "yes"},
        {"option": "COMFORT", "title": "Comfort", "group": "ride", "required": "yes"},
        {"option": "TOW", "title": "Tow bar", "group": "", "required": "no"},
    ],
    "variants": [
        _variant("V1"), _variant("V2", engine="E30", options="COMFORT SPORT", front_axle="FX2", market="UK"),
        _variant("V3", drivetrain="awd", built_to=""),
    ],
    "vin_patterns": [{"wmi": "XA1", "mask": "AB?1?", "variants": "V1 V2"}],
    "components": [
        _component("C1", process="cast", bore_min_mm="62", bore_max_mm="62.03", seat_length_mm="45", arm_material="alloy", arm_outside_mm="80"),
        _component("C2", bore_class="62 N7", taper="1:10"), _component("C3"),
    ],
    "joints": [
        {"axle": "FX1", "location": "arm.inner", "component": "C1", "built_from": "", "built_to": "2016-02", "conditions": "", "alternative": "no", "tell_apart": ""},
        {"axle": "FX1", "location": "arm.inner", "component": "C2", "built_from": "2016-03", "built_to": "", "conditions": "option.SPORT = no", "alternative": "no", "tell_apart": "a groove"},
        {"axle": "FX1", "location": "arm.inner", "component": "C1", "built_from": "2016-03", "built_to": "", "conditions": "option.SPORT = yes", "alternative": "no", "tell_apart": ""},
        {"axle": "RX1", "location": "toe.inner", "component": "C3", "built_from": "", "built_to": "", "conditions": "", "alternative": "no", "tell_apart": ""},
    ],
    "axle_locations": [
        {"axle": "FX1", "location": "arm.inner", "pieces": "1", "per": "side", "rotation_deg": "12", "tilt_deg": "3", "static_tilt_deg": "-1.5", "retention_n": "9000"},
    ],
    "ways": [{"axle": "FX1", "location": "arm.inner", "way": "arm_out", "operations": "arm_off | arm_down; lift_car", "piece_out": "yes"}],
    "numbers": [
        {"issuer": "Alva", "number": "12 34 567", "component": "C1", "part": "", "revision": "", "kind": "component", "side": ""},
        {"issuer": "Alva", "number": "12 34 568", "component": "C2", "part": "", "revision": "", "kind": "component", "side": ""},
        {"issuer": "Lemnar", "number": "LM-1-B", "component": "", "part": "LM-1", "revision": "B", "kind": "revision", "side": "both"},
    ],
    "supersessions": [{"issuer": "Alva", "old": "12 34 567", "new": "12 34 568", "exchange": "one_way", "since": "2016-03-01"}],
    "parts": [
        {"part": part, "title": part, "technology": "bearing", "duty": "road", "sealed": "yes", "kit_pieces": "2", "seat": "pressed", "bench_min": "8",
         "bench_likely": "10", "bench_max": "15", "bench_skill": "2", "bench_equipment": "press", "draw_up_mm": "", "clearance_mm": "", "offset_mm": "",
         "closure_um": "25", "blank_outside_min_mm": "60", "blank_outside_max_mm": "64", "blank_sleeve_min_mm": "", "blank_sleeve_max_mm": "",
         "blank_holes_mm": "10.1 12.1", "first_inspection_km": "10000", "interval_km": "20000", "play_limit_mm": "0.3", "comfort": "", "upkeep": "wipe"}
        for part in ("LM-1", "LM-2")
    ],
    "kit_items": [{"part": "LM-1", "item": "bearing", "title": "Bearing", "count": "2", "thread": "", "hand": "either"}],
    "revisions": [
        _revision("A", status="withdrawn"), _revision("B", exchange="both_ways", change="new boot", reason="leaked"),
        _revision("A", part="LM-2"),
    ],
    "holds": [{"part": "LM-1", "revision": "B", "batch_from": "2209", "batch_to": "2212", "cause": "soft", "look_for": "play", "opened_on": "2023-01-15", "closed_on": ""}],
    "papers": [{"part": "LM-1", "market": "EU", "kind": "report", "reference": "R 17", "valid_to": "2030-06", "conditions_text": ""}],
    "part_rules": [{"part": "LM-1", "rule": "requires", "other": "LM-2", "note": ""}],
    "fit_decisions": [
        {"part": "LM-1", "revision": "B", "component": "C1", "conditions": "", "decision": "approved", "decided_on": "2018-05-01", "orientation_deg": "15", "orientation_from": "the split", "remark": ""},
        {"part": "LM-1", "revision": "B", "component": "C2", "conditions": "engine = E20 | E30; market != UK", "decision": "approved", "decided_on": "2018-05-01", "orientation_deg": "", "orientation_from": "", "remark": "check the boot"},
    ],
    "equipment": [
        {"equipment": equipment, "title": equipment, "kind": kind, "home": home, "least_grade": ""}
        for equipment, kind, home in (("lift", "tool", "no"), ("stands", "tool", "yes"), ("press", "tool", "no"), ("grease", "consumable", "no"))
    ],
    "hazards": [{"hazard": "raised_car", "title": "Raised car", "least_grade": "2", "caution": "Use stands."}],
    "materials": [
        {"material": "steel", "title": "Steel", "modulus_mpa": "210000", "poisson": "0.3", "yield_mpa": "600", "expansion_per_k": "0.000012"},
        {"material": "alloy", "title": "Alloy", "modulus_mpa": "70000", "poisson": "0.33", "yield_mpa": "240", "expansion_per_k": "0.000023"},
    ],
    "technologies": [{"technology": "bearing", "title": "Bearing", "allows_rotation": "yes", "allows_tilt": "yes", "solid": "no"}],
    "operations": [
        _operation("FX1", "lift_car", zone="car", equipment="lift | stands", hazards="raised_car"),
        _operation("FX1", "arm_off", per_side="yes", needs="lift_car", entails="align", consumables="grease"),
        _operation("FX1", "arm_down", needs="lift_car", conditions="engine = E30", if_absent="blocked"),
        _operation("FX1", "align", needs="lift_car", alignment="yes"),
    ],
    "fasteners": [
        {"axle": "FX1", "operation": "arm_off", "fastener": "f1", "number": "99 1", "count": "1", "thread": "M12x1.5", "grade": "10.9", "head": "hex_flange",
         "drive": "16 hex", "counter_hold": "18 hex", "torque_nm": "110", "angle_deg": "", "tighten_at": "ride_height", "single_use": "yes", "source": "own", "note": ""},
    ],
    "fastener_changes": [{"part": "LM-1", "revision": "B", "axle": "FX1", "operation": "arm_off", "fastener": "f1", "supplied": "1", "torque_nm": "100", "angle_deg": "", "locking": "thread lock"}],
    "measurements": [{"component": "C1", "feature": "bore", "measured_on": "2017-11-02", "mean_mm": "62.011", "samples": "6", "spread_mm": "0.004", "uncertainty_mm": "0.002"}],
    "hardpoints": [{"axle": "FX1", "link": "arm", "inner_x": "10", "inner_y": "350", "inner_z": "200", "outer_x": "0", "outer_y": "720", "outer_z": "180.5", "inner_location": "arm.inner", "outer_location": "arm.outer"}],
    "wheels": [
        {"axle": "FX1", "contact_x": "0", "contact_y": "780", "contact_z": "0", "centre_z": "320", "spring_kind": "strut", "spring_link": "", "spring_top_x": "-20",
         "spring_top_y": "560", "spring_top_z": "820", "spring_low_x": "0", "spring_low_y": "650", "spring_low_z": "350", "top_mount_n_mm": ""},
    ],
    "test_fits": [
        {"ref": "T1", "part": "LM-1", "revision": "B", "variant": "V1", "axle": "FX1", "location": "arm.inner", "component": "C1", "side": "left", "done_on": "2018-04-02",
         "outcome": "passed_with_remarks", "findings": "tight", "serial": "", "holder": "", "out_on": "2018-03-01", "back_on": "2018-05-01", "km": "1200"},
    ],
    "job_times": [{"ref": "J1", "variant": "V1", "parts": "LM-1:front.arm.inner LM-2", "side": "both", "equipment": "lift press", "after_work": "no", "minutes": "75.5", "done_on": "2019-02-01", "car": "c1"}],
    "stances": [{"axle": "FX1", "location": "arm.outer", "stance": "wanted", "reason": "", "next_step": "measure"}],
    "enquiries": [{"asked_on": "2024-01-05", "maker": "ALVA", "chassis": "QN4", "variant": "", "location": "rear.toe.inner", "number": "", "count": "3"}],
}  # fmt: skip


def small() -> dict[str, Table]:
    """A copy to change."""
    return deepcopy(SHEETS)


def write(folder: Path, sheets: dict[str, Table]) -> Path:
    """Writes sheets as CSV files; the heads are the columns of the first row (of the small catalogue, when empty)."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in sheets.items():
        heads = list(dict.fromkeys(column for row in rows for column in row)) or list(SHEETS[name][0])
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, heads, restval="", lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    return folder


def read(folder: Path) -> dict[str, Table]:
    """What a folder of CSV files holds."""
    found = {}
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found[path.stem] = list(csv.DictReader(file))
    return found
