"""Which role sees which field, and may do what: the one table, tested cell by cell.

Fields are listed, never 'all': a column that is added to a model shows nowhere before it stands here. Names with a
point are rows inside a row. `Role` is the least role that sees the field.
"""

from collections.abc import Mapping
from functools import cache

from catalog.codes import Role

Fields = Mapping[str, Role]


def _for(role: Role, names: str) -> dict[str, Role]:
    return dict.fromkeys(names.split(), role)


def _public(names: str) -> dict[str, Role]:
    return _for(Role.PUBLIC, names)


def _sales(names: str) -> dict[str, Role]:
    return _for(Role.SALES, names)


def _development(names: str) -> dict[str, Role]:
    return _for(Role.DEVELOPMENT, names)


FIELDS: Mapping[str, Fields] = {
    "makers": _public("maker title wmi href"),
    "platforms": _public("maker chassis title built_from built_to predecessor href"),
    "topologies": _public("topology end title note href"),
    "topologies.locations": _public("location link link_end title role in_range also_called href"),
    "locations": _public("topology end location link link_end title role in_range also_called href"),
    "axles": _public("axle end topology title href"),
    "axles.axle_locations": _public("location pieces per")
    | _development("rotation_deg tilt_deg static_tilt_deg retention_n"),
    "axles.joints": _public("location component built_from built_to conditions alternative tell_apart"),
    "axles.ways": _public("location way operations piece_out"),
    "options": _public("option title group required href"),
    "variants": _public(
        "variant maker chassis designation body engine drivetrain steering market built_from built_to front_axle "
        "rear_axle options standard_options kerb_mass_kg front_mass_share wheelbase_mm cg_height_mm track_mm"
    )
    | _sales("in_operation")
    | _public("href"),
    "components": _public("component title construction")
    | _development(
        "process bore_min_mm bore_max_mm bore_class seat_length_mm clevis_gap_min_mm clevis_gap_max_mm bolt_mm taper "
        "taper_large_mm centre_offset_mm arm_material arm_outside_mm roughness_rz_um radial_stiffness_n_mm"
    )
    | _public("href"),
    "components.places": _public("axle end location"),
    "parts": _public(
        "part title technology duty sealed kit_pieces seat bench_min bench_likely bench_max bench_skill bench_equipment"
    )
    | _development(
        "draw_up_mm clearance_mm offset_mm closure_um blank_outside_min_mm blank_outside_max_mm blank_sleeve_min_mm "
        "blank_sleeve_max_mm blank_holes_mm"
    )
    | _public("first_inspection_km interval_km play_limit_mm comfort upkeep href"),
    "parts.revisions": _public("revision status released_on change exchange holds href"),
    "parts.kit_items": _public("item title count thread hand"),
    "parts.papers": _public("market kind reference valid_to conditions_text"),
    "parts.part_rules": _public("rule other note"),
    "revisions": _public("part revision status released_on")
    | _development(
        "outside_min_mm outside_max_mm outside_class body_length_mm sleeve_min_mm sleeve_max_mm hole_min_mm "
        "hole_max_mm taper taper_large_mm centre_offset_mm housing_bore_mm material roughness_rz_um rotation_deg "
        "tilt_deg radial_stiffness_n_mm"
    )
    | _public("change")
    | _development("reason")
    | _public("exchange holds href"),
    "holds": _public("batch_from batch_to look_for opened_on") | _sales("cause closed_on"),
    "revisions.fastener_changes": _public("axle operation fastener supplied torque_nm angle_deg locking"),
    "numbers": _public("issuer number normal component part revision kind side href"),
    "numbers.detail": _public("issuer number normal kind targets href"),
    "numbers.targets": _public("component part revision side"),
    "operations": _public(
        "axle operation title text watch_for zone per_side remove_min remove_likely remove_max refit_min "
        "refit_likely refit_max skill needs entails equipment consumables hazards alignment conditions if_absent "
        "href"
    ),
    "operations.fasteners": _public(
        "fastener number count thread grade head drive counter_hold torque_nm angle_deg tighten_at single_use "
        "source note"
    ),
    "equipment": _public("equipment title kind home least_grade href"),
    "hazards": _public("hazard title least_grade caution href"),
    "materials": _development("material title modulus_mpa poisson yield_mpa expansion_per_k href"),
    "technologies": _public("technology title allows_rotation allows_tilt solid href"),
    "fitment": _public("catalogue car question answers unknown_locations unknown_axles"),
    "fitment.car": _public("stated variants") | _sales("in_operation"),
    "fitment.question": _public("attribute text choices undecided") | _sales("expected_undecided"),
    "fitment.answers": _public(
        "end location part revision verdict basis reasons undecided_by other_revisions remarks orientation papers "
        "rules holds"
    )
    | _sales("internal")
    | _public("job"),
    "parts.cars": _public("variant end location built_from built_to verdict revision"),
    "enquiries": _sales("asked_on maker chassis variant location number count"),
    "cross_reference.holds": _public("batch_from batch_to look_for opened_on") | _sales("cause"),
    "fit_decisions": _development(
        "part revision component conditions decision decided_on orientation_deg orientation_from remark"
    ),
    "test_fits": _development(
        "ref part revision variant axle location component side done_on outcome findings serial holder out_on "
        "back_on km"
    ),
    "job_times": _development("ref variant parts side equipment after_work minutes done_on car"),
    "measurements": _development("component feature measured_on mean_mm samples spread_mm uncertainty_mm"),
    "stances": _development("axle location stance reason next_step"),
}


DETAILS: Mapping[str, str] = {
    "topologies": "locations",
    "axles": "axle_locations joints ways",
    "components": "places",
    "parts": "revisions kit_items papers part_rules",
    "revisions": "fastener_changes",
    "operations": "fasteners",
}
# A row standing alone has the fields of the list and its rows inside.
FIELDS = {**FIELDS, **{f"{table}.detail": {**FIELDS[table], **_public(inside)} for table, inside in DETAILS.items()}}


@cache
def fields_of(table: str, role: Role) -> tuple[str, ...]:
    """The fields of a table that a role sees, in order."""
    return tuple(name for name, least in FIELDS[table].items() if role.at_least(least))
