"""Answers from the database: what is read of it, and what each viewer sees."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalog.codes import Basis, Reason, Role, Verdict
from catalog.windows import parse_range
from fitment.domain.description import Description, Question
from fitment.errors import NoPossibleCar
from fitment.readers.editions import forget
from fitment.services.fit.answering import answer_question
from fitment.services.fit.part_cars import part_cars, variants_of_part
from tests import factories

pytestmark = pytest.mark.django_db
CAR = Description(variant="QN4-20-SAL")


@pytest.fixture
def small():
    factories.small_catalogue()


def answered(viewer=Role.PUBLIC, car=CAR, **restrictions):
    return answer_question(question=Question(car=car, **restrictions), viewer=viewer)


def test_an_answer_from_the_tables(small):
    found = answered()
    (one,) = found.answers
    assert (one.part, one.verdict, one.revision, one.basis) == ("LM-210", Verdict.FITS, "B", Basis.DECLARED)
    assert one.reasons == (Reason.APPROVED,)
    assert (found.catalogue.id, found.catalogue.edition) == ("TEST", 1)
    assert found.car.variants == ("QN4-20-SAL",)


def test_the_public_sees_no_internal_revisions_causes_counts_or_secret_parts(small):
    found = answered()
    (one,) = found.answers
    assert one.internal is None
    assert found.car.in_operation is None
    assert [rule.rule for rule in one.rules] == ["in_pairs"]
    assert [(hold.batch_from, hold.cause) for hold in one.holds] == [("2209", None)]


def test_staff_see_them(small):
    found = answered(Role.SALES)
    (one,) = found.answers
    assert [(each.revision, each.status, each.verdict) for each in one.internal] == [
        ("C", "prototype", Verdict.FITS),
        ("A", "withdrawn", Verdict.FITS),
    ]
    assert found.car.in_operation == 1200
    assert {rule.other for rule in one.rules} == {None, "LM-400"}
    assert [hold.cause for hold in one.holds] == ["porous casting"]


def test_conditions_windows_options_and_test_fits_are_read(small):
    variant = factories.variant("QN4-20-SAL")
    revision = factories.revision("LM-500", "A")
    decided = factories.decision(revision, conditions="option.SPORT = yes; built = 2016..", remark="Turn it.")
    decided.orientation_deg, decided.orientation_from = "90", "the notch"
    decided.save()
    factories.evidence.TestFit.objects.create(
        ref="T1", revision=revision, variant=variant, axle=variant.front_axle, location=factories.location(),
        component=factories.component(), done_on=date(2021, 1, 1), outcome="passed_with_remarks",
    )  # fmt: skip
    factories.next_edition()
    (one,) = answered(parts=("LM-500",)).answers
    assert (one.verdict, one.basis) == (Verdict.DEPENDS, Basis.FITTED)
    assert one.undecided_by == ("built", "option.SPORT")
    assert [remark.text for remark in one.remarks] == ["Turn it."]
    assert (one.orientation.deg, one.orientation.mark) == ("90", "the notch")
    asked = answered(parts=("LM-500",)).question
    # No day is known on which the catalogue stands: the open window weighs 366 days, of which one is in 2016.
    assert asked.attribute == "built"
    assert [(one.value, one.label) for one in asked.choices] == [
        ("2015-01-01..2015-12-31", "2015"),
        ("2016-01-01..", "from 2016"),
    ]
    later = Description(variant="QN4-20-SAL", built=(parse_range("2016.."),))
    asked = answered(car=later, parts=("LM-500",)).question
    assert (asked.attribute, [one.query for one in asked.choices]) == (
        "option.SPORT", [{"option.SPORT": "yes"}, {"option.SPORT": "no"}]
    )  # fmt: skip


def test_an_open_hold_on_every_batch_takes_a_revision_out_of_sight(small):
    revision = factories.revision("LM-500", "A")
    factories.decision(revision)
    hold = factories.hold(revision)
    factories.next_edition()
    assert [one.part for one in answered().answers] == ["LM-210"]
    hold.closed_on = date(2024, 1, 1)
    hold.save()
    factories.next_edition()
    assert [one.part for one in answered().answers] == ["LM-210", "LM-500"]


def test_a_newer_joint_on_a_replaced_arm_is_warned_of(small):
    factories.number("TK 804-7", component=factories.component("C2"))
    factories.number("TK 804-8", component=factories.component("C3"))
    for old, new in (("TK8046", "TK8047"), ("TK8047", "TK8048")):
        factories.facts.Supersession.objects.create(
            issuer="ALVA", old=old, old_normal=old, new=new, new_normal=new, exchange="one_way"
        )
    factories.next_edition()
    (one,) = answered().answers
    assert [(remark.component, remark.newer) for remark in one.remarks] == [("C1", "C2"), ("C1", "C3")]


def test_a_contradiction_names_facts_over_all_cars(small):
    with pytest.raises(NoPossibleCar) as caught:
        answered(car=Description(variant="QN4-20-SAL", maker="ALVA", body="estate"))
    assert caught.value.fields == ["variant", "body"]


def test_several_platforms_are_asked_for_by_title(small):
    factories.maker("BRISA", title="Brisa Works")
    factories.variant("B1", platform=factories.platform("QN4", of="BRISA"))
    factories.next_edition()
    found = answered(car=Description(chassis="QN4"))
    assert found.platforms == 2
    assert found.answers == ()
    assert found.question.undecided is None
    assert [(one.value, one.label) for one in found.question.choices] == [("ALVA", "Alva"), ("BRISA", "Brisa Works")]


def test_facts_that_leave_one_platform_need_not_name_it(small):
    factories.variant("B1", platform=factories.platform("QN4", of="BRISA"), market="UK")
    factories.next_edition()
    assert [one.part for one in answered(car=Description(market="EU", engine="E20")).answers] == ["LM-210"]


def test_what_is_read_does_not_grow_with_the_catalogue(small):
    def queries() -> int:
        forget()
        with CaptureQueriesContext(connection) as captured:
            answered()
            answered(car=Description(chassis="QN4"))
        return len(captured)

    before = queries()
    for number in range(12):
        axle = factories.axle(f"RX{number}", of=factories.topology("other", end="rear"))
        factories.variant(f"X{number}", platform=factories.platform(f"P{number}"), rear_axle=axle)
        place = factories.location("toe_link.inner", topology=axle.topology)
        factories.joint(f"D{number}", on=axle, at=place)
        factories.decision(factories.revision(f"LM-9{number}"), on=f"D{number}")
    factories.next_edition()
    assert queries() == before


def test_the_second_answer_of_an_edition_reads_its_edition_alone(small, django_assert_num_queries):
    answered()
    with django_assert_num_queries(1):
        answered()


def test_the_cars_of_a_part(small):
    factories.variant("QN4-25-EST", built_to=date(2019, 12, 31))
    factories.variant("Z-OTHER", platform=factories.platform("P9"))
    factories.next_edition()
    assert variants_of_part(part="LM-210") == ["QN4-20-SAL", "QN4-25-EST"]
    rows = part_cars(part="LM-210")
    assert [(row.variant, row.built_from, row.built_to, row.verdict, row.revision) for row in rows] == [
        ("QN4-20-SAL", date(2015, 1, 1), None, Verdict.FITS, "B"),
        ("QN4-25-EST", date(2015, 1, 1), date(2019, 12, 31), Verdict.FITS, "B"),
    ]
    assert part_cars(part="LM-210", variants=["QN4-25-EST"]) == rows[1:]
    assert part_cars(part="LM-400") == []
    assert part_cars(part="nothing") == []
