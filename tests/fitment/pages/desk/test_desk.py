"""The sales desk, request by request: its state is its address, and nothing of it is for those it is not for."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalog import models as facts
from catalog.codes import Role
from fitment.models import Enquiry
from fitment.pages.desk.state import desk_of, stated
from fitment.readers.editions import forget
from tests import factories

VIN = "1M8GDM9AXKP042788"  # 49 CFR 565 example, with a right check digit
CAR = "/desk/?chassis=QN4"
PLACE = "front.tension_link.inner"


@pytest.fixture
def sales(client_of) -> Client:
    return client_of(Role.SALES)


@pytest.fixture
def way_in(small) -> None:
    """The small catalogue with a second released part at another joint and one that the first excludes."""
    outer = factories.location("tension_link.outer")
    factories.joint("C2", at=outer)
    factories.decision(factories.revision("LM-230", "A"), "C2")
    facts.AxleLocation.objects.create(axle=factories.axle(), location=outer, pieces=1, per="side")
    way = facts.Way.objects.create(axle=factories.axle(), location=outer, code="w2")
    facts.WayOperation.objects.create(way=way, group=0, position=0, operation=factories.operation("arm_off"))
    facts.PartRule.objects.filter(rule="requires").delete()
    factories.next_edition()


PAGES = ["/desk/", CAR, "/desk/answer/?chassis=QN4", "/desk/enquiries/", "/desk/hold/LM-210/B/"]


@pytest.mark.parametrize("path", PAGES)
def test_the_public_is_asked_to_sign_in(small, client, path):
    answer = client.get(path)
    assert answer.status_code == 302
    assert answer["Location"].startswith("/account/sign-in/?next=/desk/")


@pytest.mark.parametrize("path", PAGES)
def test_an_account_without_a_role_is_told_so(small, client_of, path):
    from config.accounts.services import account_create

    visitor = Client()
    visitor.force_login(
        account_create(name="visitor", role=Role.PUBLIC), backend="django.contrib.auth.backends.ModelBackend"
    )
    assert visitor.get(path).status_code == 403


def test_nothing_is_written_without_the_role_or_the_forms_token(small, client, sales):
    assert client.post("/desk/log/", {"chassis": "QN4"}).status_code == 302
    sales.handler.enforce_csrf_checks = True
    assert sales.post("/desk/log/", {"chassis": "QN4"}).status_code == 403
    assert not Enquiry.objects.exists()


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("role", [Role.SALES, Role.DEVELOPMENT, Role.EDITOR])
def test_sales_and_above_see_it_and_no_shared_cache_keeps_it(small, client_of, path, role):
    answer = client_of(role).get(path)
    assert answer.status_code == 200
    assert "private" in answer["Cache-Control"]
    assert "Cookie" in answer["Vary"]


DEVELOPMENT = [
    "62.040",
    "62.060",
    "62.000",
    "62.030",
    "secret alloy",
    "warranty cases",
    "al_7075",
    "71700",
    "4000",
    "cast",
]


@pytest.mark.parametrize(
    "path", [*PAGES, f"{CAR}&part=LM-210", "/desk/answer/?chassis=QN4&part=LM-210", "/desk/?said=TK8046"]
)
def test_nothing_of_development_is_on_the_desk(small, sales, path):
    """Sizes, materials, reasons and loads stand in the catalogue and on no page of sales."""
    said = re.sub(r'name="csrfmiddlewaretoken" value="[^"]*"', "", sales.get(path).content.decode())
    assert [secret for secret in DEVELOPMENT if re.search(rf"\b{re.escape(secret)}\b", said)] == []


def test_sales_see_counts_and_what_is_internal(small, sales, open_page):
    page = open_page(CAR, by=sales)
    assert "In operation: 1500" in page.text
    assert "internal: C, prototype: fits" in page.text


@pytest.mark.parametrize("path", ["/desk/", CAR, f"{CAR}&part=LM-210", "/desk/?said=TK8046", "/desk/hold/LM-210/B/"])
def test_queries_do_not_grow_with_rows(small, sales, path):
    def queries() -> int:
        forget()
        with CaptureQueriesContext(connection) as seen:
            assert sales.get(path).status_code == 200
        return len(seen)

    sales.get(path)
    before = queries()
    for at in range(6):
        factories.variant(f"QN4-2{at}-X", front_axle=factories.axle(), designation=f"2{at}")
        factories.decision(factories.revision(f"LM-6{at}0", "A"))
        factories.hold(factories.revision("LM-210", "B"), batch_from=f"30{at}0", batch_to=f"30{at}5")
        Enquiry.objects.create(asked_on="2026-03-01", number=f"N{at}")
    factories.next_edition()
    assert queries() <= before


# --- The box ---------------------------------------------------------------------------------------


def say(client: Client, text: str, path: str = "/desk/") -> str:
    answer = client.post(path, {"q": text})
    assert answer.status_code == 303, answer.content.decode()
    return answer["Location"]


@pytest.mark.parametrize(
    ("said", "path", "leads"),
    [
        ("qn4", "/desk/", "/desk/?chassis=QN4"),
        ("estate", CAR, f"{CAR}&body=estate"),
        ("saloon", f"{CAR}&body=estate", f"{CAR}&body=saloon"),
        ("lm-210", CAR, f"{CAR}&part=LM-210"),
        ("estate lm-210", CAR, f"{CAR}&body=estate&part=LM-210"),
        ("lm-210", f"{CAR}&part=LM-210", f"{CAR}&part=LM-210"),
        ("E20", f"{CAR}&skip=engine", f"{CAR}&engine=E20"),
        ("TK 804-6", CAR, f"{CAR}&said=TK+804-6"),
        ("purple", CAR, f"{CAR}&said=purple"),
    ],
)
def test_what_is_said_adds_to_what_is_stated(small, sales, said, path, leads):
    assert say(sales, said, path) == leads


def test_what_was_not_understood_is_said_and_nothing_changes(small, sales, open_page):
    page = open_page(f"{CAR}&said=estat", by=sales)
    assert "Did you mean" in page.text
    assert page.fields["q"][0]["value"] == "estat"
    assert "2 cars agree" in page.text


def test_a_number_offers_to_state_its_joint(small, sales, open_page):
    page = open_page("/desk/?said=TK8046", by=sales)
    target = page.href("A QN4 with C1")
    assert target == f"/desk/?maker=ALVA&chassis=QN4&component.{PLACE}=C1"
    assert "Fits LM-210 B" in open_page(target, by=sales).text


def test_a_stamp_says_its_holds(small, sales, open_page):
    page = open_page("/desk/?said=LM-210-B+2210", by=sales)
    assert "On hold: batches 2209 to 2212" in page.text
    assert "porous casting" in page.text


@pytest.mark.parametrize("text", [VIN, "1M8GDM9A XKP042788"])
def test_a_vin_is_never_in_an_address_or_on_the_page(small, sales, text):
    answer = sales.post(CAR, {"q": text})
    assert answer.status_code == 422
    assert VIN not in answer.content.decode().replace(" ", "")
    refused = sales.get(f"{CAR}&said={text}")
    assert refused.status_code == 400
    assert VIN not in refused.content.decode().replace(" ", "")


def test_facts_that_no_car_meets_are_named_with_the_way_back(small, sales, open_page):
    page = open_page(f"{CAR}&body=estate&engine=E20", 422, by=sales)
    assert page.href("without engine") == f"{CAR}&body=estate"


def test_an_unknown_value_is_said_with_the_nearest(small, sales, open_page):
    assert "the nearest is 'QN4'" in open_page("/desk/?chassis=QN5", 400, by=sales).text


# --- The question ----------------------------------------------------------------------------------


def test_each_answer_says_what_it_leaves(small, sales, open_page):
    other = factories.revision("LM-230", "A")
    factories.decision(other, conditions="engine = E20")
    factories.next_edition()
    page = open_page(CAR, by=sales)
    assert "Open now: 1 answer. Expected after this one: 0.0." in page.text
    assert "1 car, 0 open" in page.text
    assert "skip=" in page.href("Don't know")
    chosen = open_page(page.href("estate"), by=sales)
    assert "Nothing is left to ask" in chosen.text


# --- The basket ------------------------------------------------------------------------------------


def test_a_part_is_added_and_taken_out_at_the_same_place(way_in, sales, open_page):
    page = open_page(CAR, by=sales)
    add = page.href("add LM-210")
    assert add == f"{CAR}&part=LM-210%3A{PLACE}"
    taken = open_page(add, by=sales)
    assert "Basket 1 of at most 20" in taken.text
    assert taken.href("remove LM-210") == CAR


def test_one_job_for_the_basket_counts_shared_work_once(way_in, sales, open_page):
    one = sales.get(f"{CAR}&part=LM-210").context["job"]
    both = sales.get(f"{CAR}&part=LM-210&part=LM-230").context["job"]
    assert one["saved"] == ""
    assert int(both["saved"]) > 0
    assert "Shared work is counted once." in open_page(f"{CAR}&part=LM-210&part=LM-230", by=sales).text


def test_what_is_nearly_free_on_top_is_offered_with_one_key(way_in, sales, open_page):
    page = open_page(f"{CAR}&part=LM-210:{PLACE}", by=sales)
    assert "While you are in there LM-230" in page.text
    known = sales.get(f"{CAR}&part=LM-210:{PLACE}").context["known"]
    (extra,) = known.extras
    keys = {line.view.part: line.key for joint in known.joints for line in joint.lines}
    assert extra.key == keys["LM-230"]


def test_a_part_that_does_not_fit_is_left_out_and_the_rest_is_planned(way_in, sales, open_page):
    factories.decision(factories.revision("LM-231", "A"), "C2", "rejected")
    factories.next_edition()
    page = open_page(f"{CAR}&part=LM-231&part=LM-210", by=sales)
    assert "Not in the job." in page.text
    assert "Kit" in page.text


def test_an_excluded_pair_is_refused_in_words(way_in, sales, open_page):
    facts.PartRule.objects.create(part=factories.part("LM-230"), rule="excludes", other=factories.part("LM-210"))
    factories.next_edition()
    page = open_page(f"{CAR}&part=LM-210&part=LM-230", by=sales)
    assert "LM-210 and LM-230 are not fitted to one car" in page.text


def test_a_part_that_a_rule_asks_for_can_be_added(way_in, sales, open_page):
    facts.PartRule.objects.create(part=factories.part("LM-230"), rule="requires", other=factories.part("LM-210"))
    factories.next_edition()
    page = open_page(f"{CAR}&part=LM-230", by=sales)
    assert "This basket does not do that." in page.text
    assert page.href("Add LM-210").endswith(f"part=LM-210%3A{PLACE}")


def test_a_basket_waits_while_the_car_is_not_known(way_in, sales, open_page):
    assert "LM-210" in open_page("/desk/?part=LM-210", by=sales).text
    platform = factories.platform("QN6")
    factories.variant("QN6-20-SAL", platform=platform)
    factories.next_edition()
    page = open_page("/desk/?body=saloon&part=LM-210", by=sales)
    assert "of several chassis" in page.text
    assert "LM-210" in page.text


def test_more_than_twenty_parts_are_refused(way_in, sales, open_page):
    for at in range(21):
        factories.revision(f"LM-8{at:02}", "A")
    factories.next_edition()
    many = "".join(f"&part=LM-8{at:02}" for at in range(21))
    page = open_page(f"{CAR}{many}", 400, by=sales)
    assert "at most 20" in page.text
    assert page.href("remove LM-800")


# --- What is handed on -----------------------------------------------------------------------------


def text_of(client: Client, path: str) -> str:
    return str(client.get(path).context["text"])


def test_the_text_has_all_that_a_customer_asks(way_in, sales):
    text = text_of(sales, f"{CAR}&part=LM-210&part=LM-230")
    for said in (
        "LM-210 revision B",
        "fits",
        "Fitting takes about",
        "To order",
        "2 x kit, 2 pieces needed, LM-210 B",
        "http://testserver/car/?chassis=QN4",
    ):
        assert said.lower() in text.lower()
    assert "repair information comes first" in text
    assert max(len(line) for line in text.splitlines() if "http" not in line) <= 76


def test_nothing_internal_is_handed_on(small, sales):
    """Prototypes, causes of holds and counts are for staff; a rule that names a prototype is not told."""
    for path in (f"{CAR}&part=LM-210", CAR):
        text = text_of(sales, path)
        answer = sales.get(path.replace("/desk/", "/desk/answer/")).content.decode()
        for said in (text, answer):
            assert "LM-210" in said
            assert not re.search(r"LM-400|porous|prototype|1500|In operation", said)


def test_a_basket_with_a_prototype_is_not_handed_on(small, sales, open_page):
    assert "not for sale" in open_page(f"{CAR}&part=LM-400", by=sales).text
    assert text_of(sales, f"{CAR}&part=LM-400") == ""
    assert "not for sale" in open_page("/desk/answer/?chassis=QN4&part=LM-400", 400, by=sales).text


@pytest.mark.parametrize(("units", "torque"), [("metric", "120 N m"), ("imperial", "89 lb ft")])
def test_the_printed_answer_has_the_readers_units(way_in, sales, open_page, units, torque):
    """120 N m are 88.5 lb ft (1 lbf ft = 1.3558179483314004 N m, NIST SP 811)."""
    page = open_page(f"/desk/answer/?chassis=QN4&part=LM-210&units={units}", by=sales)
    assert torque in page.text
    assert "page" not in page.fields
    assert "Before any work on the car" in page.text


def test_unknown_units_are_refused(small, sales, open_page):
    assert "the nearest is" in open_page(f"{CAR}&units=furlongs", 400, by=sales).text


# --- Questions without an answer -------------------------------------------------------------------


def test_that_nothing_fits_is_logged_with_the_car_and_said(small, sales, open_page):
    page = open_page(f"{CAR}&body=estate&part=LM-210", by=sales)
    fields = {
        name: rows[0].get("value", "") for name, rows in page.fields.items() if name in ("maker", "chassis", "variant")
    }
    assert fields == {"maker": "ALVA", "chassis": "QN4", "variant": "QN4-25-EST"}
    answer = sales.post("/desk/log/?chassis=QN4&body=estate&part=LM-210", {**fields, "location": PLACE})
    assert answer["Location"] == f"{CAR}&body=estate&part=LM-210"
    assert "Logged: QN4-25-EST" in open_page(answer["Location"], by=sales).text
    row = Enquiry.objects.get()
    assert (row.maker, row.chassis, row.variant, row.location, row.count) == ("ALVA", "QN4", "QN4-25-EST", PLACE, 1)


def test_what_cannot_be_logged_is_said(small, sales, open_page):
    answer = sales.post("/desk/log/", {"chassis": "QN9"})
    assert "Not logged: chassis 'QN9' is not known" in open_page(answer["Location"], by=sales).text
    assert not Enquiry.objects.exists()


def test_logged_questions_are_listed_by_day_and_by_count(small, sales, open_page):
    import datetime as dt

    for day, chassis, count in ((1, "QN4", 5), (2, "", 1), (3, "QN4", 2)):
        number = "" if chassis else "XX991"
        Enquiry.objects.create(asked_on=dt.date(2026, 3, day), maker="ALVA" if chassis else "", chassis=chassis,
                               number=number, count=count)  # fmt: skip
    latest = [(row.car, row.count) for row in sales.get("/desk/enquiries/").context["rows"]]
    assert latest == [("Alva QN4", 2), ("", 1), ("Alva QN4", 5)]
    often = [(row.car, row.count) for row in sales.get("/desk/enquiries/?by=count").context["rows"]]
    assert often == [("Alva QN4", 7), ("", 1)]
    page = open_page("/desk/", by=sales)
    assert page.href("Alva QN4") == "/desk/?maker=ALVA&chassis=QN4"
    assert page.href("XX991") == "/number/XX991/"


# --- Holds -----------------------------------------------------------------------------------------


def test_the_list_of_a_hold_names_cars_and_what_to_look_for(small, sales, open_page):
    page = open_page("/desk/hold/LM-210/B/", by=sales)
    assert "On hold: LM-210 B" in page.text
    assert "play at the boot" in page.text
    assert page.href("QN4-20-SAL")
    assert "2 cars in the catalogue may carry it" in page.text


def test_a_revision_held_as_a_whole_still_has_its_cars(small, sales, open_page):
    """It is named for no car any more, so the part's own list does not have them."""
    factories.hold(factories.revision("LM-210", "B"))
    factories.next_edition()
    assert "2 cars in the catalogue may carry it" in open_page("/desk/hold/LM-210/B/", by=sales).text


def test_only_the_cars_of_that_revision_are_named(small, sales, open_page):
    newest = factories.revision("LM-210", "E")
    factories.decision(newest, conditions="body = estate")
    factories.hold(newest)
    factories.next_edition()
    page = open_page("/desk/hold/LM-210/E/", by=sales)
    assert "1 car in the catalogue may carry it" in page.text
    assert "QN4-20-SAL" not in page.text


@pytest.mark.parametrize("path", ["/desk/hold/LM-210/Q/", "/desk/hold/LM-999/A/"])
def test_a_revision_nobody_knows_is_not_there(small, sales, path):
    assert sales.get(path).status_code == 404


# --- The state -------------------------------------------------------------------------------------


def test_a_correction_replaces_and_a_part_is_added_once():
    query = {"chassis": ["QN4"], "skip": ["body", "engine"], "part": ["A"]}
    assert stated(query, {"body": ["estate"], "part": ["A", "B"]}) == {
        "chassis": ["QN4"], "skip": ["engine"], "part": ["A", "B"], "body": ["estate"],
    }  # fmt: skip


def test_the_job_is_not_told_what_is_only_of_the_question():
    desk = desk_of({"chassis": ["QN4"], "skip": ["body"], "part": ["A"], "units": ["imperial"], "said": ["x"]})
    assert desk.car == {"chassis": ["QN4"], "skip": ["body"]}
    assert desk.job == {"chassis": ["QN4"], "part": ["A"]}
    assert desk.here == "/desk/?chassis=QN4&part=A&skip=body&units=imperial"
