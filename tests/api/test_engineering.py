"""Matches, loads and coverage over HTTP: shapes, readings, roles, errors, pages."""

from datetime import date
from decimal import Decimal

import jsonschema
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from api import codec
from api.caching import kept_answers
from api.schema import Answered
from api.views import coverage, engineering
from catalog.codes import Role
from catalog.models import Axle, AxleLocation, Catalogue, Component, Material, Revision, Variant
from fitment.models import Enquiry, Measurement, Stance, TestFit
from fitment.readers.editions import forget
from tests import factories

pytestmark = pytest.mark.django_db

PATHS = {
    "components/C1/matches/": engineering.Matches,
    "axles/FX1/loads/": engineering.Loads,
    "coverage/": coverage.Cells,
    "coverage/platforms/": coverage.Platforms,
    "coverage/work/": coverage.Work,
    "coverage/sizes/?bodies_at_most=2": coverage.Sizes,
    "coverage/FX1/tension_link.outer/C2/": coverage.CellDetail,
}
EYE = {
    "bore_min_mm": "62.000", "bore_max_mm": "62.030", "seat_length_mm": "40", "arm_outside_mm": "80", "process": "cast",
}  # fmt: skip
BODY = {
    "outside_min_mm": "62.120", "outside_max_mm": "62.140", "body_length_mm": "38", "housing_bore_mm": "50",
    "rotation_deg": "20", "tilt_deg": "8",
}  # fmt: skip


@pytest.fixture
def joint_maker(db) -> Axle:
    """One car with one joint that LM-210 B drops into, and a prototype; a second place without a part."""
    factories.catalogue()
    steel = factories.material("steel", modulus_mpa=210_000, poisson="0.3", yield_mpa=700, expansion_per_k="0.0000115")
    axle = factories.axle()
    inner = factories.location("tension_link.inner", link_end="subframe")
    outer = factories.location("tension_link.outer", link_end="upright")
    factories.variant(
        front_axle=axle, in_operation=1200, kerb_mass_kg=1600, front_mass_share="0.52", wheelbase_mm=2750,
        cg_height_mm=550, track_mm=1550,
    )  # fmt: skip
    factories.component("C1", arm_material=steel, **EYE)
    factories.component("C2")
    factories.joint("C1", on=axle, at=inner)
    factories.joint("C2", on=axle, at=outer)
    AxleLocation.objects.create(
        axle=axle, location=inner, rotation_deg=15, tilt_deg=5, static_tilt_deg=-2, retention_n=5000
    )
    revision = factories.revision("LM-210", "B", material=steel, radial_stiffness_n_mm=20_000, **BODY)
    factories.revision("LM-400", "A", "prototype")
    factories.decision(revision)
    return axle


def corner(axle: Axle, links: int = 5) -> None:
    """The corner of the factories, with a bush as the car maker fits it at C1."""
    factories.corner(axle, links)
    Component.objects.filter(code="C1").update(radial_stiffness_n_mm=2000)
    factories.next_edition()


@pytest.fixture
def development(api):
    def get(path: str) -> dict:
        response = api(Role.DEVELOPMENT).get(path)
        assert response.status_code == 200, response.content
        return response.json()

    return get


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("with_corner", [False, True])
def test_answers_have_the_shape_that_the_document_shows(joint_maker, development, path, with_corner):
    if with_corner:
        corner(joint_maker)
        Measurement.objects.create(
            component=factories.component("C1"), feature="bore", measured_on=date(2024, 1, 1), mean_mm="62.02",
            samples=3, spread_mm="0.004", uncertainty_mm="0.002",
        )  # fmt: skip
    jsonschema.validate(development(path), closed(PATHS[path].answers["GET"]))


def closed(answer: Answered) -> dict:
    """The schema of an answer, whole and without room for anything that it does not name."""

    def close(schema):
        if isinstance(schema, dict):
            schema = {name: close(value) for name, value in schema.items()}
            return schema | {"additionalProperties": False} if "properties" in schema else schema
        return [close(one) for one in schema] if isinstance(schema, list) else schema

    def named(of: type) -> dict:
        return codec.object_schema(of, named)

    return close(answer.schema(named))


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize(
    ("role", "status"), [(Role.PUBLIC, 401), (Role.SALES, 403), (Role.DEVELOPMENT, 200), (Role.EDITOR, 200)]
)
def test_trade_secrets_are_for_development(joint_maker, api, path, role, status):
    response = api(role).get(path)
    assert response.status_code == status
    # Access before parameters: nobody learns which exist.
    nonsense = api(role).get(path.split("?")[0] + "?nonsense=1")
    assert nonsense.status_code == (400 if status == 200 else status)


@pytest.mark.parametrize("path", PATHS)
def test_more_axles_take_no_more_queries(joint_maker, api, path):
    def cold() -> int:
        kept_answers.forget()
        forget()
        with CaptureQueriesContext(connection) as seen:
            assert client.get(path).status_code == 200
        return len(seen)

    corner(joint_maker)
    client = api(Role.DEVELOPMENT)
    client.get("makers/")  # the token's last use is written once
    before = cold()
    for number in range(5):
        axle = factories.axle(f"X{number}")
        factories.variant(f"V{number}", front_axle=axle, kerb_mass_kg=1600, front_mass_share="0.5", wheelbase_mm=2750,
                          cg_height_mm=550, track_mm=1550)  # fmt: skip
        factories.joint(f"K{number}", on=axle, at=factories.location("tension_link.inner"))
        factories.joint("C2", on=axle, at=factories.location("tension_link.outer"))
        factories.decision(factories.revision(f"N-{number}"), on=f"K{number}", conditions="drivetrain = awd")
        corner(axle)
    assert cold() == before


@pytest.mark.parametrize(
    "path",
    ["components/C9/matches/", "axles/FX9/loads/", "coverage/FX9/tension_link.outer/C2/",
     "coverage/FX1/tension_link.inner/C2/"],
)  # fmt: skip
def test_unknown_codes_are_nowhere(joint_maker, api, path):
    assert api(Role.DEVELOPMENT).get(path).status_code == 404


def fields_refused(api, path: str) -> list[str]:
    response = api(Role.DEVELOPMENT).get(path)
    assert response.status_code == 400, response.content
    return [error["field"] for error in response.json()["errors"]]


class TestMatches:
    def test_a_released_revision_drops_in(self, joint_maker, development):
        body = development("components/C1/matches/")
        place = {"axle": "FX1", "location": "tension_link.inner"}
        assert body["asked"] == {
            "rotation_deg": {"value": 15.0, "place": place, "unknown": False},
            "tilt_deg": {"value": 7.0, "place": place, "unknown": False},
            "retention_n": {"value": 5000.0, "place": place, "unknown": False},
        }
        assert body["sizes"][0] == {"feature": "bore", "source": "stated", "low_mm": 62.0, "high_mm": 62.03}
        released, prototype = body["matches"]
        assert (released["part"], released["revision"], released["verdict"]) == ("LM-210", "B", "drops_in")
        assert released["interference_mm"] == pytest.approx([0.09, 0.14])
        assert (prototype["part"], prototype["verdict"]) == ("LM-400", "unmeasured")
        assert "revision.outside" in prototype["missing"]

    def test_concepts_and_withdrawn_revisions_are_left_out_and_letters_in_order(self, joint_maker, development):
        for letter, status in (("AA", "released"), ("Z", "released"), ("C", "concept"), ("D", "withdrawn")):
            factories.revision("LM-210", letter, status)
        factories.next_edition()
        found = [(one["part"], one["revision"]) for one in development("components/C1/matches/")["matches"]]
        assert found == [("LM-210", "B"), ("LM-210", "Z"), ("LM-210", "AA"), ("LM-400", "A")]

    def test_an_iso_class_stands_where_limits_do_not(self, joint_maker, development):
        Component.objects.filter(code="C1").update(bore_min_mm=None, bore_max_mm=None, bore_class="62 N7")
        factories.next_edition()
        (bore, *_) = development("components/C1/matches/")["sizes"]
        assert (bore["low_mm"], bore["high_mm"]) == (61.961, 61.991)

    def test_a_measured_bore_takes_the_spread_of_its_process(self, joint_maker, development):
        Component.objects.filter(code="C1").update(bore_min_mm=None, bore_max_mm=None)
        factories.component("C2", process="cast")
        for code, mean, samples, spread in (("C1", "61.98", 3, "0.006"), ("C2", "58.0", 11, "0.006")):
            Measurement.objects.create(
                component=factories.component(code), feature="bore", measured_on=date(2024, 1, 1), mean_mm=mean,
                samples=samples, spread_mm=spread, uncertainty_mm="0.003",
            )  # fmt: skip
        factories.next_edition()
        (bore, *_) = development("components/C1/matches/")["sizes"]
        # published values: quantiles/tolerance_interval_bore_pooled_s
        assert (bore["low_mm"], bore["high_mm"]) == pytest.approx((61.95655365, 62.00344635), abs=1e-6)
        assert (bore["pooled"], bore["degrees_of_freedom"], bore["samples"]) == (True, 12, 3)

    def test_one_limit_or_one_piece_of_a_clevis_is_too_little_to_drop_in(self, joint_maker, development):
        Component.objects.filter(code="C1").update(clevis_gap_min_mm="50.1")
        Measurement.objects.create(
            component=factories.component("C1"), feature="bolt", measured_on=date(2024, 1, 1), mean_mm="12",
            samples=1, uncertainty_mm="0.01",
        )  # fmt: skip
        factories.next_edition()
        found = development("components/C1/matches/")["matches"][0]
        assert found["verdict"] == "unmeasured"
        assert {"component.clevis_gap", "component.bolt"} <= set(found["missing"])

    def test_a_material_without_stiffness_is_not_known(self, joint_maker, development):
        """A modulus of nought is a slip of the keyboard: the answer says what is missing, it does not fall over."""
        Material.objects.filter(code="steel").update(modulus_mpa=0)
        factories.next_edition()
        found = development("components/C1/matches/")["matches"][0]
        assert found["verdict"] == "unmeasured"
        assert {"component.arm_material", "revision.material"} <= set(found["missing"])

    def test_a_measured_mean_outside_stated_limits_is_a_warning(self, joint_maker, development):
        Measurement.objects.create(
            component=factories.component("C1"), feature="bore", measured_on=date(2024, 1, 1), mean_mm="62.05",
            samples=3, spread_mm="0.004", uncertainty_mm="0.002",
        )  # fmt: skip
        factories.next_edition()
        body = development("components/C1/matches/")
        assert [size["source"] for size in body["sizes"] if size["feature"] == "bore"] == ["stated", "measured"]
        assert body["matches"][0]["warnings"] == [
            {"code": "measured_outside_stated", "axle": None, "location": None, "part": None}
        ]

    def test_the_greatest_asked_and_the_one_place_asked_about(self, joint_maker, development, api):
        other = factories.axle("FX2")
        inner = factories.location("tension_link.inner")
        factories.joint("C1", on=other, at=inner)
        AxleLocation.objects.create(axle=other, location=inner, rotation_deg=25, retention_n=4000)
        factories.next_edition()
        body = development("components/C1/matches/")
        assert (body["asked"]["rotation_deg"]["value"], body["asked"]["tilt_deg"]["unknown"]) == (25.0, True)
        assert body["matches"][0]["verdict"] == "new_design"
        one = development("components/C1/matches/?axle=FX1&location=tension_link.inner")
        assert one["place"] == {"axle": "FX1", "location": "tension_link.inner"}
        assert one["matches"][0]["verdict"] == "drops_in"
        assert fields_refused(api, "components/C1/matches/?axle=FX1") == ["location"]
        assert fields_refused(api, "components/C1/matches/?location=tension_link.inner") == ["axle"]
        assert fields_refused(api, "components/C1/matches/?axle=FX9&location=tension_link.inner") == ["axle"]
        assert fields_refused(api, "components/C1/matches/?axle=FX1&location=nowhere") == ["location"]
        assert fields_refused(api, "components/C1/matches/?axle=FX1&location=tension_link.outer") == ["location"]

    def test_warnings_name_the_part_at_the_other_end_of_the_link(self, joint_maker, development):
        at_outer = factories.revision("LM-500", "A")
        factories.decision(at_outer, on="C2")
        held = factories.revision("LM-600", "A")
        factories.decision(held, on="C2")
        factories.hold(held)
        factories.decision(factories.revision("LM-700", "A"), on="C2", word="proposed")
        factories.next_edition()
        released = development("components/C1/matches/")["matches"][0]
        assert released["warnings"] == [
            {"code": "arm_turns", "axle": "FX1", "location": "tension_link.outer", "part": "LM-500"}
        ]
        factories.technology("spherical", allows_rotation=False)
        factories.next_edition()
        refused = development("components/C1/matches/")["matches"][0]
        assert [warning["code"] for warning in refused["warnings"]] == ["binds"]
        assert refused["refused_by"] == ["rotation"]


class TestBasis:
    def test_what_drops_in_is_measured(self, joint_maker, public):
        def basis() -> list:
            body = public.get("fitment/?variant=QN4-20-SAL&part=LM-210").json()
            return [(answer["verdict"], answer["basis"]) for answer in body["answers"]]

        assert basis() == [("fits", "measured")]
        Revision.objects.filter(part__code="LM-210").update(outside_min_mm="61.9", outside_max_mm="61.92")
        factories.next_edition()
        assert basis() == [("fits", "declared")]


class TestLoads:
    def test_no_hardpoints_and_not_modelled(self, joint_maker, development):
        nothing = {"axle": "FX1", "modelled": False}
        assert development("axles/FX1/loads/").items() >= {**nothing, "reason": "no_hardpoints"}.items()
        corner(joint_maker, links=4)
        body = development("axles/FX1/loads/")
        assert body == {"catalogue": body["catalogue"], **nothing, "reason": "not_modelled"}

    def test_five_links(self, joint_maker, development):
        corner(joint_maker)
        body = development("axles/FX1/loads/")
        assert (body["modelled"], body["reason"], body["variant"]) == (True, None, "QN4-20-SAL")
        assert body["components"] == {"tension_link.inner": "C1", "tension_link.outer": "C2"}
        _, braking, _ = body["cases"]
        assert [case["case"] for case in body["cases"]] == ["standing", "braking", "cornering"]
        # published values: statics/load_transfer; the link pulls 1.5 times the braking force (five_link_braking)
        assert braking["contact_force_n"] == pytest.approx([-5648.6304, 0, 5648.6304])
        links = {link["link"]: link["force_n"] for link in braking["links"]}
        assert links["a_lower_trailing"] == pytest.approx(1.5 * 5648.6304)
        assert braking["top_mount_n"] is None
        assert body["compliance"]["contact_mm_per_kn"] == pytest.approx(1.5**2 / 2000 * 1000)
        assert "tension_link.outer" in body["compliance"]["rigid"]
        assert "b_upper_trailing.inner" in body["compliance"]["rigid"]
        (upgrade,) = body["upgrades"]
        assert (upgrade["part"], upgrade["revision"], upgrade["location"]) == ("LM-210", "B", "tension_link.inner")
        assert upgrade["saves_mm_per_kn"] == pytest.approx(1.5**2 * (1 / 2000 - 1 / 20000) * 1000)
        assert body["travel_mm"] == [-80, 80]
        assert {joint["end"] for joint in body["articulation"]} == {"inner", "outer"}

    def test_a_car_without_all_figures_has_no_cases(self, joint_maker, development):
        corner(joint_maker)
        Variant.objects.update(track_mm=None)
        factories.next_edition()
        body = development("axles/FX1/loads/")
        assert (body["variant"], body["cases"]) == (None, [])
        assert body["compliance"]["castor_deg_per_g"] is body["compliance"]["toe_deg_per_g"] is None
        assert body["compliance"]["contact_mm_per_kn"] > 0

    def test_the_heaviest_car_unless_one_is_named(self, joint_maker, development, api):
        corner(joint_maker)
        light = Variant.objects.get()
        heavy = factories.variant("QN4-30-SAL", front_axle=joint_maker)
        Variant.objects.filter(pk=heavy.pk).update(
            kerb_mass_kg=1900, front_mass_share=light.front_mass_share, wheelbase_mm=light.wheelbase_mm,
            cg_height_mm=light.cg_height_mm, track_mm=light.track_mm,
        )  # fmt: skip
        factories.variant("QN4-OTHER")
        factories.next_edition()
        assert development("axles/FX1/loads/")["variant"] == "QN4-30-SAL"
        assert development("axles/FX1/loads/?variant=QN4-20-SAL")["variant"] == "QN4-20-SAL"
        assert fields_refused(api, "axles/FX1/loads/?variant=QN4-OTHER") == ["variant"]
        assert fields_refused(api, "axles/FX1/loads/?variant=NONE") == ["variant"]

    def test_the_component_of_most_cars_unless_one_is_named(self, joint_maker, development, api):
        corner(joint_maker)
        inner = factories.location("tension_link.inner")
        stiff = factories.component("C3", radial_stiffness_n_mm=40_000)
        factories.joint(stiff.code, on=joint_maker, at=inner, alternative=True)
        joint_maker.joints.update(alternative=True)
        factories.next_edition()
        assert development("axles/FX1/loads/")["components"]["tension_link.inner"] == "C1"
        name = "component.front.tension_link.inner"
        named = development(f"axles/FX1/loads/?{name}=C3")
        assert named["components"]["tension_link.inner"] == "C3"
        assert named["compliance"]["contact_mm_per_kn"] == pytest.approx(1.5**2 / 40_000 * 1000)
        assert fields_refused(api, f"axles/FX1/loads/?{name}=C2") == [name]
        assert fields_refused(api, "axles/FX1/loads/?component.rear.x=C1") == ["component.rear.x"]


class TestCoverage:
    def test_cells(self, joint_maker, development):
        covered, open_cell = development("coverage/")["results"]
        assert covered == {
            "axle": "FX1", "end": "front", "location": "tension_link.inner", "component": "C1", "cars": 1200.0,
            "covered": 1200.0, "uncovered": 0.0, "state": "released", "basis": "measured",
            "by": [{"part": "LM-210", "revision": "B"}], "conflict": False,
        }  # fmt: skip
        assert (open_cell["component"], open_cell["state"], open_cell["basis"]) == ("C2", "unmeasured", None)

    def test_a_part_for_one_drivetrain_does_not_cover_the_others(self, joint_maker, development):
        factories.variant("QN4-20-AWD", front_axle=joint_maker, drivetrain="awd", in_operation=300)
        Revision.objects.get(part__code="LM-210").fit_decisions.update(conditions="drivetrain = rear")
        factories.next_edition()
        cell = development("coverage/?component=C1")["results"][0]
        assert (cell["cars"], cell["covered"], cell["uncovered"]) == (1500.0, 1200.0, 300.0)
        assert (cell["state"], cell["basis"]) == ("carry_over", "measured")

    def test_uncovered_cars_by_condition(self, joint_maker, development):
        factories.variant("QN4-20-AWD", front_axle=joint_maker, drivetrain="awd", in_operation=300)
        Revision.objects.get(part__code="LM-210").fit_decisions.update(conditions="drivetrain = rear")
        factories.next_edition()
        row = development("coverage/?component=C1")["results"][0]
        detail = development("coverage/FX1/tension_link.inner/C1/")
        assert {name: detail[name] for name in row} == row
        assert detail["waiting"] == [
            {"conditions": "drivetrain = awd", "cars": 300.0, "variants": ["QN4-20-AWD"], "rejected": [],
             "failed": [], "proposed": [], "tried": []}
        ]  # fmt: skip
        (every,) = development("coverage/FX1/tension_link.outer/C2/")["waiting"]
        assert (every["conditions"], every["cars"]) == ("", 1500.0)

    def test_stances_and_conflicts(self, joint_maker, development):
        for code in ("tension_link.inner", "tension_link.outer"):
            Stance.objects.create(axle=joint_maker, location=factories.location(code), stance="not_offered")
        factories.next_edition()
        states = [(cell["state"], cell["conflict"]) for cell in development("coverage/")["results"]]
        assert states == [("released", True), ("not_offered", False)]
        assert development("coverage/work/")["results"] == []

    def test_a_prototype_that_passed_here(self, joint_maker, development):
        TestFit.objects.create(
            ref="T1", revision=factories.revision("LM-400", "A"), variant=factories.variant(), axle=joint_maker,
            location=factories.location("tension_link.outer"), component=factories.component("C2"),
            done_on=date(2024, 5, 1), outcome="passed",
        )  # fmt: skip
        factories.next_edition()
        (cell,) = development("coverage/?component=C2")["results"]
        assert (cell["state"], cell["by"]) == ("test_fit", [{"part": "LM-400", "revision": "A"}])

    def test_platforms(self, joint_maker, development):
        factories.location("tie_rod.outer", link="tie_rod")
        factories.next_edition()
        rows = development("coverage/platforms/")["results"]
        assert [(row["location"], row["state"], row["cars"]) for row in rows] == [
            ("tension_link.inner", "released", 1200.0),
            ("tension_link.outer", "unmeasured", 1200.0),
            ("tie_rod.outer", "unknown", 1200.0),
        ]
        assert rows[2]["states"] == {"unknown": 1200.0}
        assert rows[1]["cells"] == [{"axle": "FX1", "component": "C2"}]

    def test_the_order_of_work_counts_enquiries_and_shows_the_load(self, joint_maker, development):
        corner(joint_maker)
        factories.number("TK 1", component=factories.component("C2"))
        for given in (
            {"location": "front.tension_link.outer", "chassis": "QN4"},
            {"number": "TK1"},
            {"location": "rear.tension_link.outer"},
            {"maker": "ALVA"},
        ):
            Enquiry.objects.create(asked_on=date(2025, 1, 1), count=2, **given)
        Catalogue.objects.update(enquiry_count=4)
        body = development("coverage/work/")
        (row,) = body["results"]
        assert (body["effort_days"]["unmeasured"], body["per_enquiry"]) == (3, 100)
        assert (row["uncovered"], row["enquiries"], row["effort_days"]) == (1200.0, 4, 3)
        assert row["score"] == pytest.approx(1600 / 3)
        assert row["load"]["braking_n"] == pytest.approx(1.5 * 5648.6304)
        assert row["load"]["share"] == 0.0

    @pytest.mark.parametrize(
        ("asked", "counted"),
        [("TK 1", 1), ("tk-0", 1), ("TK 00", 1), ("TK 9", 0), ("LM-400", 0), ("TK 2", 0)],
        ids=["own", "forwards", "twice forwards", "unknown", "a part", "another component"],
    )
    def test_where_the_number_of_an_enquiry_leads(self, joint_maker, development, asked, counted):
        factories.number("TK 1", component=factories.component("C2"))
        factories.number("TK 2", component=factories.component("C1"))
        factories.number("LM-400", issuer="HOUSE", kind="part", part=factories.part("LM-400"))
        for old, new in (("TK00", "TK0"), ("TK0", "TK1"), ("TK1", "TK2"), ("LM400", "TK1")):
            issuer = "HOUSE" if old == "LM400" else "ALVA"
            factories.supersession(old, new, issuer=issuer)
        Enquiry.objects.create(asked_on=date(2025, 1, 1), number=asked)
        Catalogue.objects.update(enquiry_count=1)
        (row,) = development("coverage/work/")["results"]
        assert row["enquiries"] == counted

    def test_sizes(self, joint_maker, development, api):
        factories.part("LM-210", blank_outside_min_mm=60, blank_outside_max_mm=66)
        steel = factories.material("steel")
        factories.component("C2", arm_material=steel, **{**EYE, "bore_min_mm": "63.0", "bore_max_mm": "63.03"})
        outer = factories.location("tension_link.outer")
        AxleLocation.objects.create(axle=joint_maker, location=outer, rotation_deg=15, tilt_deg=5, retention_n=5000)
        factories.next_edition()
        body = development("coverage/sizes/?bodies_at_most=1")
        (family,) = body["families"]
        assert (family["part"], family["revision"], family["cars"]) == ("LM-210", "B", 1200.0)
        (size,) = family["bodies"]
        assert size["components"] == ["C2"]
        # The right end: any wider and the eye yields (fitment.engineering solves it; tests there check both ends).
        assert size["outside_mm"] == pytest.approx(63.32724, abs=1e-5)
        assert family["at_most"]["bodies"] == family["bodies"]
        assert development("coverage/sizes/?part=LM-400")["families"] == []
        for wrong in ("0", "-1", "1.5", "x", ""):
            assert fields_refused(api, f"coverage/sizes/?bodies_at_most={wrong}") == ["bodies_at_most"]
        assert fields_refused(api, "coverage/sizes/?part=NONE") == ["part"]

    @pytest.mark.parametrize("path", ["coverage/", "coverage/platforms/", "coverage/work/"])
    def test_filters_refuse_what_is_not_known(self, joint_maker, api, path):
        for name in ("axle", "location", "component", "maker", "chassis", "state"):
            assert fields_refused(api, f"{path}?{name}=NONE") == [name]

    @pytest.mark.parametrize("path", ["coverage/", "coverage/platforms/", "coverage/work/"])
    def test_pages_walk_through_all_rows_and_back(self, joint_maker, development, path):
        outer = factories.location("tension_link.outer")
        for number in range(4):
            axle = factories.axle(f"FX{number + 2}")
            factories.variant(f"V{number}", front_axle=axle, platform=factories.platform(f"P{number}"))
            factories.joint("C2", on=axle, at=outer)
        factories.next_edition()
        everything = development(path)["results"]
        assert len(everything) >= 5
        walked, page, pages = [], development(f"{path}?page_size=2"), []
        while True:
            walked += page["results"]
            pages.append(page)
            if page["next"] is None:
                break
            page = development(page["next"])
        assert walked == everything
        back = pages[-1]
        for earlier in reversed(pages[:-1]):
            back = development(back["previous"])
            assert back["results"] == earlier["results"]

    def test_filters_keep_the_rows_they_name(self, joint_maker, development):
        assert [cell["component"] for cell in development("coverage/?state=released")["results"]] == ["C1"]
        assert [cell["component"] for cell in development("coverage/?part=LM-400")["results"]] == ["C2"]
        assert len(development("coverage/?component=C1&component=C2&chassis=QN4&maker=ALVA&end=front")["results"]) == 2
        assert development("coverage/?end=rear")["results"] == []
        assert len(development("coverage/platforms/?component=C2")["results"]) == 1
        assert len(development("coverage/work/?state=unmeasured&axle=FX1")["results"]) == 1

    def test_an_enquiry_changes_the_tag(self, joint_maker, api):
        client = api(Role.DEVELOPMENT)
        tag = client.get("coverage/work/")["ETag"]
        assert client.get("coverage/work/", **{"If-None-Match": tag}).status_code == 304
        Catalogue.objects.update(enquiry_count=1)
        assert client.get("coverage/work/", **{"If-None-Match": tag}).status_code == 200

    def test_weights_are_fractions_shown_to_one_decimal(self, joint_maker, development):
        Variant.objects.update(in_operation=1, built_from=date(2020, 1, 1), built_to=date(2020, 1, 3))
        joint_maker.joints.filter(component__code="C1").update(built_to=date(2020, 1, 1))
        factories.next_edition()
        cell = development("coverage/?component=C1")["results"][0]
        assert cell["cars"] == 0.3
        states = development("coverage/platforms/?location=tension_link.inner")["results"][0]["states"]
        assert states == {"released": 0.3, "unknown": 0.7}
        assert Decimal(str(cell["cars"])) == Decimal("0.3")
