"""Rows for tests. A function makes one row, with the rows it needs; what a test does not name is of no matter.

A row asked for twice by its key is the same row: `part("P1")` in two places names one part.
"""

from datetime import date
from typing import Any

from django.db.models import F

from catalog import models as facts
from catalog.numbers import folded_form, normal_form
from fitment import models as evidence

START = date(2015, 1, 1)


def _row(model: Any, key: dict[str, Any], values: dict[str, Any]) -> Any:
    found, _ = model.objects.update_or_create(defaults=values, **key) if values else model.objects.get_or_create(**key)
    return found


def _made(model: Any, key: dict[str, Any], defaults: dict[str, Any], given: dict[str, Any]) -> Any:
    """The row with this key: as it is where nothing is given, else changed; made with defaults when missing."""
    if model.objects.filter(**key).exists():
        return _row(model, key, given)
    return model.objects.create(**key, **{**defaults, **given})


def catalogue(code: str = "TEST", edition: int = 1, **given: Any) -> facts.Catalogue:
    return _row(facts.Catalogue, {"id": 1}, {"code": code, "edition": edition, **given})


def next_edition() -> None:
    """As every change of the catalogue ends: answers kept under the edition before are stale."""
    if not facts.Catalogue.objects.update(edition=F("edition") + 1):
        catalogue()


def maker(code: str = "ALVA", **given: Any) -> facts.Maker:
    return _made(facts.Maker, {"code": code}, {"title": code.title()}, given)


def platform(chassis: str = "QN4", of: str = "ALVA", **given: Any) -> facts.Platform:
    defaults = {"title": chassis, "built_from": START}
    return _made(facts.Platform, {"maker": maker(of), "chassis": chassis}, defaults, given)


def topology(code: str = "five_link_front", end: str = "front", **given: Any) -> facts.Topology:
    return _made(facts.Topology, {"code": code}, {"end": end, "title": code}, given)


def location(code: str = "tension_link.inner", topology: facts.Topology | None = None, **given: Any) -> facts.Location:
    link, _, _ = code.partition(".")
    defaults = {"link": link, "link_end": "subframe", "title": code, "role": "braking", "in_range": True}
    return _made(facts.Location, {"topology": topology or globals()["topology"](), "code": code}, defaults, given)


def axle(code: str = "FX1", of: facts.Topology | None = None, **given: Any) -> facts.Axle:
    kind = of or topology()
    return _made(facts.Axle, {"code": code}, {"topology": kind, "end": kind.end}, given)


def option(code: str = "SPORT", **given: Any) -> facts.Option:
    return _made(facts.Option, {"code": code}, {"title": code}, given)


def variant(code: str = "QN4-20-SAL", *, options: str = "", standard: str = "", **given: Any) -> facts.Variant:
    """A car; `options` and `standard` are codes between spaces."""
    if "platform" not in given and not facts.Variant.objects.filter(code=code).exists():
        given["platform"] = platform()
    defaults = {
        "designation": "20", "body": "saloon", "engine": "E20", "drivetrain": "rear", "steering": "left",
        "market": "EU", "built_from": START,
    }  # fmt: skip
    made = _made(facts.Variant, {"code": code}, defaults, given)
    for codes, always in ((options, False), (standard, True)):
        for one in codes.split():
            facts.VariantOption.objects.get_or_create(variant=made, option=option(one), standard=always)
    return made


def component(code: str = "C1", **given: Any) -> facts.Component:
    return _made(facts.Component, {"code": code}, {"title": code, "construction": "rubber"}, given)


def joint(
    component_code: str = "C1", *, on: facts.Axle | None = None, at: facts.Location | None = None, **given: Any
) -> facts.Joint:
    """A component at a location of an axle."""
    place = on or axle()
    return facts.Joint.objects.create(
        axle=place, location=at or location(topology=place.topology), component=component(component_code), **given
    )


def technology(code: str = "spherical", **given: Any) -> facts.Technology:
    defaults = {"title": code, "allows_rotation": True, "allows_tilt": True, "solid": False}
    return _made(facts.Technology, {"code": code}, defaults, given)


def material(code: str = "al_7075", **given: Any) -> facts.Material:
    defaults = {
        "title": code, "modulus_mpa": 71_700, "poisson": "0.33", "yield_mpa": 503, "expansion_per_k": "0.0000236",
    }  # fmt: skip
    return _made(facts.Material, {"code": code}, defaults, given)


def equipment(code: str = "lift", **given: Any) -> facts.Equipment:
    return _made(facts.Equipment, {"code": code}, {"title": code}, given)


def hazard(code: str = "raised_car", **given: Any) -> facts.Hazard:
    return _made(facts.Hazard, {"code": code}, {"title": code, "caution": "Support the car."}, given)


def part(code: str = "LM-210", **given: Any) -> facts.Part:
    if "technology" not in given and not facts.Part.objects.filter(code=code).exists():
        given["technology"] = technology()
    return _made(facts.Part, {"code": code}, {"title": code, "duty": "road", "seat": "pressed"}, given)


def revision(of: str = "LM-210", letter: str = "A", status: str = "released", **given: Any) -> facts.Revision:
    return _made(facts.Revision, {"part": part(of), "letter": letter}, {"status": status}, given)


def hold(on: facts.Revision, **given: Any) -> facts.Hold:
    defaults = {"cause": "porous casting", "look_for": "play at the boot", "opened_on": date(2023, 1, 15)}
    return facts.Hold.objects.create(revision=on, **{**defaults, **given})


def decision(
    of: facts.Revision, on: str = "C1", word: str = "approved", decided_on: date = date(2020, 3, 1), **given: Any
) -> evidence.FitDecision:
    return evidence.FitDecision.objects.create(
        revision=of, component=component(on), decision=word, decided_on=decided_on, **given
    )


def number(text: str = "TK 804-6", issuer: str = "ALVA", kind: str = "component", **given: Any) -> facts.Number:
    return facts.Number.objects.create(
        issuer=issuer, number=text, normal=normal_form(text), folded=folded_form(text), kind=kind, **given
    )


def supersession(old: str, new: str, exchange: str = "one_way", issuer: str = "ALVA") -> facts.Supersession:
    return facts.Supersession.objects.create(
        issuer=issuer, exchange=exchange,
        old=old, old_normal=normal_form(old), old_folded=folded_form(old),
        new=new, new_normal=normal_form(new), new_folded=folded_form(new),
    )  # fmt: skip


def operation(code: str = "raise", on: facts.Axle | None = None, **given: Any) -> facts.Operation:
    minutes = {f"{step}_{point}": 5 for step in ("remove", "refit") for point in ("min", "likely", "max")}
    defaults = {"title": code, "per_side": False, "skill": 1, **minutes}
    return _made(facts.Operation, {"axle": on or axle(), "code": code}, defaults, given)


def fastener(of: facts.Operation, code: str = "f1", **given: Any) -> facts.Fastener:
    return _made(facts.Fastener, {"operation": of, "code": code}, {"count": 2}, given)


def small_catalogue() -> None:
    """A row of every table that the API lists; a released, a withdrawn and a prototype part.

    LM-210 has A (withdrawn), B (released, a batch held) and C (prototype), approved for C1 and proposed for it;
    LM-400 is a prototype through and through.
    """
    catalogue()
    alloy = material()
    front = variant("QN4-20-SAL", front_axle=axle(), options="SPORT", in_operation=1200, kerb_mass_kg=1500)
    variant("QN4-25-EST", front_axle=front.front_axle, body="estate", engine="E25", in_operation=300)
    facts.AxleLocation.objects.create(
        axle=front.front_axle, location=location(), pieces=1, per="side", rotation_deg=12, tilt_deg=3,
        static_tilt_deg=1, retention_n=4000,
    )  # fmt: skip
    joint("C1")
    component("C1", process="cast", bore_min_mm="62.000", bore_max_mm="62.030", arm_material=alloy)
    sizes: dict[str, Any] = {"outside_min_mm": "62.040", "outside_max_mm": "62.060", "material": alloy}
    oldest = revision("LM-210", "A", "withdrawn", released_on=date(2018, 5, 1))
    newer = revision("LM-210", "B", change="longer sleeve", reason="warranty cases", exchange="both_ways", **sizes)
    draft = revision("LM-210", "C", "prototype", reason="secret alloy", **sizes)
    secret = revision("LM-400", "A", "prototype")
    part("LM-210", draw_up_mm="0.5", closure_um="12", blank_holes_mm=["12", "14"], interval_km=30_000)
    hold(newer, batch_from="2209", batch_to="2212")
    hold(oldest, batch_from="2001", closed_on=date(2023, 3, 1))
    decision(oldest)
    decision(newer, decided_on=date(2021, 3, 1))
    decision(draft, word="proposed")
    decision(secret, word="proposed")
    facts.KitItem.objects.create(part=newer.part, item="boot", title="Boot", count=2)
    facts.Papers.objects.create(part=newer.part, market="DE", kind="report", reference="R 1")
    facts.PartRule.objects.create(part=newer.part, rule="in_pairs")
    facts.PartRule.objects.create(part=newer.part, rule="requires", other=secret.part)
    number("TK 804-6", component=component("C1"))
    number("LM210", issuer="HOUSE", kind="part", part=newer.part)
    number("LM210C", issuer="HOUSE", kind="revision", revision=draft)
    number("LM400", issuer="HOUSE", kind="part", part=secret.part)
    step = operation("arm_off")
    operation("raise")
    facts.OperationNeed.objects.create(operation=step, group=0, position=0, needed=operation("raise"))
    facts.OperationEquipment.objects.create(operation=step, group=0, position=0, equipment=equipment())
    facts.OperationHazard.objects.create(operation=step, position=0, hazard=hazard())
    change = fastener(step, torque_nm="110", angle_deg="90")
    facts.FastenerChange.objects.create(revision=newer, fastener=change, supplied=2, torque_nm="120")
    way = facts.Way.objects.create(axle=front.front_axle, location=location(), code="w1")
    facts.WayOperation.objects.create(way=way, group=0, position=0, operation=step)


def corner(on: facts.Axle, links: int = 5) -> None:
    """The five-link corner of the published values, in mm, with C1 at the inner end of the lower trailing link."""
    ends = [
        ("a_lower_trailing", (500, 700, 150), (0, 700, 150), "tension_link.inner", "tension_link.outer"),
        ("b_upper_trailing", (400, 700, 450), (0, 700, 450), "", "b"),
        ("c_lower_lateral", (0, 300, 150), (0, 700, 150), "", "c"),
        ("d_upper_lateral", (0, 350, 450), (0, 700, 450), "", "d"),
        ("e_toe", (-150, 300, 150), (-150, 700, 150), "", "e"),
    ]
    for link, inner, outer, inner_location, outer_location in ends[:links]:
        evidence.Hardpoint.objects.create(
            axle=on, link=link, inner_location=inner_location, outer_location=outer_location,
            **dict(zip(("inner_x", "inner_y", "inner_z"), inner, strict=True)),
            **dict(zip(("outer_x", "outer_y", "outer_z"), outer, strict=True)),
        )  # fmt: skip
    evidence.Wheel.objects.create(
        axle=on, contact_x=0, contact_y=750, contact_z=0, centre_z=320, spring_kind="upright", spring_top_x=0,
        spring_top_y=700, spring_top_z=600, spring_low_x=0, spring_low_y=700, spring_low_z=300,
    )  # fmt: skip
