"""`job/`, `job/instruction/{code}/` and `include=job`: what is refused and why, what is current, who sees what."""

from datetime import date
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from api.caching import kept_answers
from catalog import models as facts
from catalog.codes import Role
from fitment import models as evidence
from fitment.readers.editions import forget
from tests import factories

CAR = "variant=QN4-20-SAL"
INNER, OUTER = "front.tension_link.inner", "front.tension_link.outer"


def step(code, *, needs="", equipment="", entails="", **given):
    """An operation with its needs and equipment (groups `a | b; c`) and what it entails."""
    made = factories.operation(code, **given)
    for group, codes in enumerate(filter(None, needs.split(";"))):
        for position, other in enumerate(codes.split("|")):
            facts.OperationNeed.objects.create(
                operation=made, group=group, position=position, needed=factories.operation(other.strip())
            )
    for group, codes in enumerate(filter(None, equipment.split(";"))):
        for position, piece in enumerate(codes.split("|")):
            facts.OperationEquipment.objects.create(
                operation=made, group=group, position=position, equipment=factories.equipment(piece.strip())
            )
    for position, other in enumerate(entails.split()):
        facts.OperationEntail.objects.create(operation=made, position=position, entailed=factories.operation(other))
    return made


def way_in(location, operation, *, piece_out=True):
    way = facts.Way.objects.create(axle=factories.axle(), location=location, code="way", piece_out=piece_out)
    facts.WayOperation.objects.create(way=way, group=0, position=0, operation=operation)


@pytest.fixture
def shop(db):
    """Two joints of one arm: LM-210 and LM-220 at the inner one, LM-220 and LM-230 at the outer one."""
    factories.catalogue(as_of=date(2025, 1, 1))
    axle = factories.axle()
    inner = factories.location()
    outer = factories.location("tension_link.outer", link_end="upright")
    factories.variant("QN4-20-SAL", front_axle=axle, options="SPORT")
    factories.joint("C1", at=inner)
    factories.joint("C2", at=outer)
    for part, components in {"LM-210": "C1", "LM-220": "C1 C2", "LM-230": "C2"}.items():
        revision = factories.revision(part)
        for code in components.split():
            factories.decision(revision, code)
    factories.equipment("lift")
    factories.equipment("stands", home=True, least_grade=2)
    factories.equipment("rig")
    step("raise", equipment="lift | stands", zone="car")
    step("align", equipment="rig", alignment=True)
    arm = step("arm_off", needs="raise", entails="align", per_side=True, skill=2)
    factories.fastener(arm, torque_nm="110", number="N 1", single_use=True)
    nut = step("nut_off", needs="arm_off", skill=2, conditions="option.SPORT = no", if_absent="open")
    factories.hazard("raised_car")
    facts.OperationHazard.objects.create(operation=arm, position=0, hazard=factories.hazard())
    way_in(inner, arm)
    way_in(outer, nut)


def url(*parts, car=CAR, **more):
    return f"job/?{car}&{urlencode([('part', part) for part in parts] + list(more.items()), safe=':@,')}"


def refused(response, status=422):
    body = response.json()
    assert response.status_code == status, body
    assert response["Content-Type"] == "application/problem+json"
    return body


def test_a_job(public, shop):
    body = public.get(url("LM-210")).json()
    assert body["catalogue"] == {"id": "TEST", "edition": 1}
    assert body["car"] == {"stated": {"variant": "QN4-20-SAL"}, "variants": ["QN4-20-SAL"], "shown": "QN4-20-SAL"}
    assert body["parts"] == [
        {"part": "LM-210", "end": "front", "location": "tension_link.inner", "revision": "A", "verdict": "fits",
         "way": "way"},
    ]  # fmt: skip
    # raise 5 + 5, the arm 5 + 5 a side; the alignment after it
    assert (body["minutes"], body["after_minutes"], body["hours"]) == (30, 10, 0.5)
    assert body["operations"] == ["FX1/raise", "FX1/arm_off"]
    assert body["after"] == [{"operation": "FX1/align", "minutes": 10, "elsewhere": False}]
    assert [one["phase"] for one in body["steps"]] == ["remove", "remove", "fit", "refit", "refit", "after"]
    assert body["to_order"]["fasteners"][0] == {
        "number": "N 1", "operation": "FX1/arm_off", "fastener": "f1", "count": 4,
    }  # fmt: skip
    assert body["cautions"] == [
        {"hazard": "raised_car", "title": "raised_car", "text": "Support the car.", "operations": ["FX1/arm_off"]},
    ]  # fmt: skip
    assert body["home"]["possible"] is True
    assert body["home"]["elsewhere"] == ["FX1/align"]


def test_the_dearest_of_the_possible_cars_is_shown(public, shop):
    """Without the sports set-up the nut has to come off too; with it nothing is in the way."""
    body = public.get(url("LM-230")).json()
    assert (body["operations"][-1], body["varies"]) == ("FX1/nut_off", True)
    sporty = public.get(url("LM-230", car=f"{CAR}&option.SPORT=yes")).json()
    assert (sporty["operations"], sporty["varies"]) == ([], False)


def test_one_side_with_the_equipment_of_a_home(public, shop):
    body = public.get(url("LM-210", side="left", equipment="home")).json()
    assert (body["minutes"], body["after_minutes"]) == (20, 0)
    assert body["after"] == [{"operation": "FX1/align", "minutes": None, "elsewhere": True}]
    assert body["grade_set_by"] == ["equipment:stands", "skill:FX1/arm_off"]
    assert {one["side"] for one in body["steps"] if one["operation"] == "FX1/arm_off"} == {"left"}


def test_a_basket_shares_the_way_in(public, shop):
    body = public.get(url("LM-210", "LM-230")).json()
    assert body["saved_minutes"] == 40
    assert body["while_in_there"] == []
    alone = public.get(url("LM-210")).json()
    assert [(one["part"], one["location"], one["extra_minutes"]) for one in alone["while_in_there"]] == [
        ("LM-220", OUTER, 10), ("LM-230", OUTER, 10),
    ]  # fmt: skip


BAD = [
    ("", "part", "is missing"),
    ("part=LM-211", "part", "'LM-210'"),
    ("part=LM-210@Q", "part", "revision of LM-210"),
    ("part=LM-210:front.tension_link.iner", "part", "front.tension_link.inner"),
    ("part=LM-210&part=LM-210", "part", "twice"),
    ("part=LM-210&side=top", "side", "'top'"),
    ("part=LM-210&side=left&side=right", "side", "twice"),
    ("part=LM-210&equipment=lifd", "equipment", "'lift'"),
    ("part=LM-210&equipmnt=home", "equipmnt", "'equipment'"),
    ("&".join(["part=LM-210"] * 21), "part", "at most 20"),
]


@pytest.mark.parametrize(("query", "field", "message"), BAD)
def test_bad_parameters_are_named(public, shop, query, field, message):
    errors = refused(public.get(f"job/?{CAR}&{query}"), 400)["errors"]
    assert any(error["field"] == field and message in error["message"] for error in errors), errors


def test_a_part_by_place_and_without_is_the_same_part(public, shop):
    errors = refused(public.get(url("LM-210", f"LM-210:{INNER}")), 400)["errors"]
    assert "same part at the same place" in errors[0]["message"]


def test_a_part_that_fits_several_places_must_say_which(public, shop):
    body = refused(public.get(url("LM-220")))
    assert (body["reason"], body["places"]) == ("several_places", [INNER, OUTER])
    assert public.get(url(f"LM-220:{OUTER}")).status_code == 200


def test_two_parts_at_one_joint(public, shop):
    assert refused(public.get(url("LM-210", f"LM-220:{INNER}")))["reason"] == "one_joint_twice"


def test_a_part_that_fits_none_of_the_cars_comes_with_its_verdict(public, shop):
    evidence.FitDecision.objects.filter(component__code="C1").update(decision="rejected")
    body = refused(public.get(url("LM-210")))
    assert (body["reason"], body["verdict"]) == ("does_not_fit", "does_not_fit")
    assert body["places"] == [{"place": INNER, "verdict": "does_not_fit"}]


def test_no_plan_names_the_goal_and_the_smallest_sets(public, shop):
    body = refused(public.get(url("LM-210", equipment="rig")))
    assert (body["reason"], body["opens"]) == ("no_plan", {f"LM-210 {INNER}": [["lift"], ["stands"]]})


def test_a_place_without_a_way_is_opened_by_nothing(public, shop):
    facts.Way.objects.all().delete()
    body = refused(public.get(url("LM-210")))
    assert (body["reason"], body["opens"]) == ("no_plan", {f"LM-210 {INNER}": []})


def test_parts_that_no_one_car_takes_together(public, shop):
    evidence.FitDecision.objects.filter(revision__part__code="LM-210").update(conditions="option.SPORT = yes")
    evidence.FitDecision.objects.filter(revision__part__code="LM-230").update(conditions="option.SPORT = no")
    assert refused(public.get(url("LM-210", "LM-230")))["reason"] == "no_common_car"
    assert public.get(url("LM-210")).json()["parts"][0]["verdict"] == "depends"


def test_an_excluded_pair(public, shop):
    facts.PartRule.objects.create(part=factories.part("LM-230"), rule="excludes", other=factories.part("LM-210"))
    forget()
    assert refused(public.get(url("LM-210", "LM-230")))["reason"] == "excluded"
    assert [one["part"] for one in public.get(url("LM-210")).json()["while_in_there"]] == ["LM-220"]


def test_rules_ask_and_say_whether_the_job_does_it(public, shop):
    for rule, other in (("requires", factories.part("LM-230")), ("in_pairs", None)):
        facts.PartRule.objects.create(part=factories.part("LM-210"), rule=rule, other=other)
    body = public.get(url("LM-210", side="left")).json()
    assert [(one["rule"], one["other"], one["met"]) for one in body["rules"]] == [
        ("in_pairs", None, False), ("requires", "LM-230", False),
    ]  # fmt: skip


def test_a_revision_on_hold_says_what_to_look_for(api, shop):
    factories.hold(factories.revision("LM-210"))
    body = refused(api(Role.PUBLIC).get(url("LM-210@A")))
    assert (body["reason"], body["holds"][0]["look_for"]) == ("on_hold", "play at the boot")
    assert "cause" not in body["holds"][0]
    assert "porous casting" not in str(body)
    staff = refused(api(Role.SALES).get(url("LM-210@A")))
    assert staff["holds"][0]["cause"] == "porous casting"
    assert refused(api(Role.PUBLIC).get(url("LM-210")))["reason"] == "does_not_fit"


def test_several_platforms_come_with_the_question(public, shop):
    factories.variant("TT1-20-SAL", platform=factories.platform("TT1"), front_axle=factories.axle())
    body = refused(public.get(url("LM-210", car="maker=ALVA")))
    assert (body["reason"], body["question"]["attribute"]) == ("several_platforms", "chassis")
    assert [choice["value"] for choice in body["question"]["choices"]] == ["QN4", "TT1"]


def test_no_possible_car_names_the_facts(public, shop):
    body = refused(public.get(url("LM-210", car=f"{CAR}&built=1990")))
    assert body["reason"] == "no_possible_car"
    assert [error["field"] for error in body["errors"]] == ["built"]


def test_an_older_revision_and_what_the_public_may_not_see(api, shop):
    newer = factories.revision("LM-210", "B")
    factories.decision(newer)
    draft = factories.revision("LM-210", "C", "prototype")
    factories.decision(draft)
    public, staff = api(Role.PUBLIC), api(Role.DEVELOPMENT)
    assert public.get(url("LM-210")).json()["parts"][0]["revision"] == "B"
    assert public.get(url("LM-210@A")).json()["parts"][0]["revision"] == "A"
    unknown, hidden = (refused(public.get(url(f"LM-210@{letter}")), 400) for letter in "ZC")
    assert str(unknown["errors"]).replace("'Z'", "'C'") == str(hidden["errors"])
    assert staff.get(url("LM-210@C")).json()["parts"][0]["revision"] == "C"


def test_a_rule_does_not_betray_a_prototype(api, shop):
    factories.revision("LM-900", status="prototype")
    facts.PartRule.objects.create(part=factories.part("LM-210"), rule="requires", other=factories.part("LM-900"))
    assert "LM-900" not in api(Role.PUBLIC).get(url("LM-210")).content.decode()
    assert [rule["other"] for rule in api(Role.SALES).get(url("LM-210")).json()["rules"]] == ["LM-900"]


@pytest.mark.parametrize("role", list(Role))
def test_a_job_is_the_same_for_every_role(api, shop, role):
    assert api(role).get(url("LM-210")).json() == api(Role.PUBLIC).get(url("LM-210")).json()


def test_recorded_jobs_move_the_estimate_and_are_counted(public, shop):
    before = public.get(url("LM-210")).json()
    job = evidence.JobTime.objects.create(
        ref="J1", variant=factories.variant("QN4-20-SAL"), side="both", after_work=False, minutes=60,
        done_on=date(2024, 5, 1),
    )  # fmt: skip
    evidence.JobTimePart.objects.create(job_time=job, position=0, part=factories.part("LM-210"))
    facts.Catalogue.objects.update(job_time_count=1)
    after = public.get(url("LM-210")).json()
    assert (before["observations"], after["observations"]) == (0, 1)
    assert before["minutes_median"] == before["minutes"] == after["minutes"] < after["minutes_median"] < 60
    assert after["instruction"] != before["instruction"]


def test_answers_with_their_jobs(public, shop):
    body = public.get(f"fitment/?{CAR}&include=job").json()
    jobs = {(one["part"], f"{one['end']}.{one['location']}"): one["job"] for one in body["answers"]}
    assert set(jobs) == {("LM-210", INNER), ("LM-220", INNER), ("LM-220", OUTER), ("LM-230", OUTER)}
    for (part, place), job in jobs.items():
        alone = public.get(job["href"]).json()
        assert alone["parts"][0]["part"] == part
        assert f"{alone['parts'][0]['end']}.{alone['parts'][0]['location']}" == place
        for name in ("grade", "grade_set_by", "hours", "hours_p80", "minutes", "after_minutes"):
            assert job[name] == alone[name]
        assert job["tools"] == len(alone["tools"])
        assert job["after_work"] == [one["operation"] for one in alone["after"]]
        assert job["home"] == {name: alone["home"][name] for name in ("possible", "grade", "hours")}
    assert all("job" not in one for one in public.get(f"fitment/?{CAR}").json()["answers"])


def test_an_answer_without_a_plan_has_no_job(public, shop):
    body = public.get(f"fitment/?{CAR}&include=job&equipment=rig").json()
    jobs = {(one["part"], one["location"]): one["job"] for one in body["answers"]}
    assert jobs["LM-210", "tension_link.inner"] is None


def instruction(public, code, *, edition=1, query=None):
    return public.get(f"job/instruction/{code}/?{query or f'{CAR}&part=LM-210'}&edition={edition}")


def test_a_printed_instruction_is_current_until_what_is_printed_changes(public, shop):
    code = public.get(url("LM-210")).json()["instruction"]
    body = instruction(public, code).json()
    assert (body["current"], body["now"], body["changes"]) == (True, code, [])
    factories.maker("ALVA", title="Another title")
    factories.next_edition()
    assert instruction(public, code, edition=2).json()["current"] is True
    fastener = facts.Fastener.objects.get(number="N 1")
    facts.Fastener.objects.update(torque_nm=120)
    edition = facts.Edition.objects.create(number=3)
    facts.Change.objects.create(
        edition=edition, sheet="fasteners", row_key="FX1 arm_off f1", action="changed",
        before={"axle": "FX1", "operation": "arm_off", "fastener": fastener.code, "torque_nm": "110"},
        after={"axle": "FX1", "operation": "arm_off", "fastener": fastener.code, "torque_nm": "120"},
    )  # fmt: skip
    factories.next_edition()
    body = instruction(public, code, edition=1).json()
    assert (body["current"], body["now"] != code, body["since"]) == (False, True, 1)
    assert body["changes"] == [
        {"edition": 3, "sheet": "fasteners", "row": "FX1 arm_off f1", "action": "changed", "columns": ["torque_nm"]},
    ]  # fmt: skip
    assert instruction(public, code, edition=3).json()["changes"] == []


def test_an_instruction_tells_of_nothing_internal(public, shop):
    code = public.get(url("LM-210")).json()["instruction"]
    edition = facts.Edition.objects.create(number=2)
    for sheet, row in (
        ("revisions", {"part": "LM-210", "revision": "A", "reason": "warranty cases"}),
        ("revisions", {"part": "LM-210", "revision": "C", "status": "prototype"}),
        ("fit_decisions", {"part": "LM-210", "revision": "A", "component": "C1", "decision": "proposed"}),
        ("parts", {"part": "LM-210", "draw_up_mm": "0.4"}),
        ("operations", {"axle": "OTHER", "operation": "raise", "title": "Raise"}),
    ):
        facts.Change.objects.create(
            edition=edition, sheet=sheet, row_key=str(row), action="changed", before={**row, "x": 1}, after=row
        )
    facts.Catalogue.objects.update(edition=2)
    changes = instruction(public, code).json()["changes"]
    assert changes == []


def test_an_instruction_whose_job_is_refused_today_says_why(public, shop):
    code = public.get(url("LM-210")).json()["instruction"]
    evidence.FitDecision.objects.all().delete()
    factories.next_edition()
    body = instruction(public, code).json()
    assert (body["current"], body["now"], body["reason"]) == (False, None, "does_not_fit")


def test_bad_codes_and_editions(public, shop):
    code = public.get(url("LM-210")).json()["instruction"]
    assert instruction(public, "no-code").status_code == 404
    assert instruction(public, code.lower()).json()["current"] is True
    for edition in ("0", "2", "x", ""):
        errors = refused(instruction(public, code, edition=edition), 400)["errors"]
        assert [error["field"] for error in errors] == ["edition"]


def test_more_rows_take_no_more_queries(public, shop):
    def count():
        kept_answers.forget()
        forget()
        with CaptureQueriesContext(connection) as seen:
            assert public.get(url("LM-210", "LM-230")).status_code == 200
        return len(seen)

    before = count()
    for number in range(5):
        step(f"more{number}", needs="raise", equipment="lift", entails="align")
        part = factories.revision(f"LM-3{number}0")
        factories.decision(part, "C2")
        factories.fastener(factories.operation("arm_off"), f"g{number}", torque_nm="40")
        factories.variant(f"QN4-3{number}-SAL", front_axle=factories.axle())
    assert count() == before
