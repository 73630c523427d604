"""What a row does: adds or changes by key, removes, replaces a group, or with the file all there is."""

from datetime import UTC, datetime

import pytest

from catalog.models import Catalogue, Change, Edition, Joint, Location, VariantOption
from catalog.workbook.report import Report
from fitment.services.demand import enquiry_check, enquiry_log
from tests.catalog.workbook.small import SHEETS, small

pytestmark = pytest.mark.django_db

NOTHING = {"added": 0, "changed": 0, "unchanged": 0, "removed": 0}


def rows(sheet: str, *changes: dict[str, str]) -> dict[str, list[dict[str, str]]]:
    return {sheet: list(changes)}


def counts(report: Report, sheet: str) -> dict[str, int]:
    assert not report.refused, report.lines()
    return {what: count for what, count in report.counts[sheet].items() if count}


def test_rows_not_named_stay_and_named_ones_change_by_key(loaded, dumped):
    report = loaded(rows("makers", {"maker": "ALVA", "title": "Alva Motors"}, {"maker": "ORM", "title": "Orm"}))
    assert counts(report, "makers") == {"added": 1, "changed": 1}
    assert dumped()["makers"] == [
        {"maker": "ALVA", "title": "Alva Motors", "wmi": "XA1 XA2"}, {"maker": "ORM", "title": "Orm", "wmi": ""},
    ]  # fmt: skip


def test_an_absent_column_stays_and_an_empty_one_clears(loaded, dumped):
    loaded(rows("platforms", {"maker": "ALVA", "chassis": "QN4", "title": ""}))
    assert dumped()["platforms"][1] == SHEETS["platforms"][1] | {"title": ""}


def test_a_new_row_needs_its_required_columns(loaded):
    (fault,) = loaded(rows("hazards", {"hazard": "airbag", "title": "Airbag"})).errors
    assert (fault.sheet, fault.row, fault.column) == ("hazards", 2, "caution")


@pytest.mark.parametrize("column", ["axle", "location"])
def test_key_columns_must_be_present(loaded, column: str):
    row = {"axle": "FX1", "location": "arm.inner", "pieces": "2"}
    del row[column]
    (fault,) = loaded(rows("axle_locations", row)).errors
    assert (fault.sheet, fault.row, fault.column) == ("axle_locations", 1, column)


def test_a_row_is_removed(loaded, dumped):
    report = loaded(rows("stances", {"axle": "FX1", "location": "arm.outer", "remove": "yes"}))
    assert counts(report, "stances") == {"removed": 1}
    assert dumped()["stances"] == []


def test_remove_says_yes_or_no(loaded):
    (fault,) = loaded(
        rows("stances", {"axle": "FX1", "location": "arm.outer", "stance": "wanted", "remove": "y"})
    ).errors
    assert fault.column == "remove"
    assert not loaded(
        rows("stances", {"axle": "FX1", "location": "arm.outer", "stance": "wanted", "remove": "no"})
    ).errors


def test_a_row_that_is_not_there_cannot_be_removed(loaded):
    (fault,) = loaded(rows("stances", {"axle": "FX1", "location": "arm.inner", "remove": "yes"})).errors
    assert (fault.sheet, fault.row, fault.column) == ("stances", 2, "remove")


def test_what_others_name_cannot_be_removed(loaded):
    faults = loaded(rows("components", {"component": "C1", "remove": "yes"})).errors
    assert {(fault.sheet, fault.column) for fault in faults} == {
        (sheet, "component") for sheet in ("joints", "numbers", "fit_decisions", "measurements", "test_fits")
    }
    assert all("kept row" in fault.wrong for fault in faults)


def test_a_value_that_conditions_name_cannot_go(loaded):
    (fault,) = loaded(rows("variants", {"variant": "V2", "market": "AU"})).errors
    assert (fault.sheet, fault.column) == ("fit_decisions", "conditions")
    assert "LM-1 / B / C2" in fault.wrong
    report = loaded(
        rows("variants", {"variant": "V2", "market": "AU"})
        | rows("fit_decisions", SHEETS["fit_decisions"][1] | {"conditions": "market != AU"})
    )
    assert not report.refused, report.lines()


class TestGroups:
    def joint(self, component: str, **more: str) -> dict[str, str]:
        return SHEETS["joints"][0] | {"component": component, "built_to": ""} | more

    def test_naming_a_group_replaces_it_whole(self, loaded):
        report = loaded(rows("joints", self.joint("C3"), SHEETS["joints"][1]))
        assert counts(report, "joints") == {"added": 1, "unchanged": 1, "removed": 2}
        assert Joint.objects.filter(axle__code="FX1").count() == 2
        assert Joint.objects.filter(axle__code="RX1").count() == 1

    def test_a_group_whose_rows_all_remove_is_emptied(self, loaded):
        report = loaded(rows("joints", self.joint("C3") | {"remove": "yes"}))
        assert counts(report, "joints") == {"removed": 3}

    def test_a_removed_row_beside_others_is_only_left_out(self, loaded):
        report = loaded(rows("joints", self.joint("C3") | {"remove": ""}, SHEETS["joints"][1] | {"remove": "yes"}))
        assert counts(report, "joints") == {"added": 1, "removed": 3}

    @pytest.mark.parametrize("sheet", ["joints", "fit_decisions", "numbers", "fasteners"])
    def test_these_sheets_need_all_their_columns(self, loaded, sheet: str):
        row = dict(SHEETS[sheet][0])
        last = list(row)[-1]
        del row[last]
        (fault,) = loaded(rows(sheet, row)).errors
        assert (fault.sheet, fault.row, fault.column) == (sheet, 1, last)

    def test_a_group_that_is_not_there_cannot_be_emptied(self, loaded):
        (fault,) = loaded(rows("joints", self.joint("C3", location="arm.outer") | {"remove": "yes"})).errors
        assert fault.column == "remove"

    def test_what_a_group_loses_others_may_not_name(self, loaded):
        (fault,) = loaded(rows("fasteners", SHEETS["fasteners"][0] | {"fastener": "f2"})).errors
        assert (fault.sheet, fault.column) == ("fastener_changes", "fastener")


class TestReplace:
    def test_the_file_is_all_there_is(self, loaded, dumped):
        sheets = small()
        del sheets["kit_items"][0]
        sheets["makers"].append({"maker": "ORM", "title": "Orm", "wmi": ""})
        report = loaded(sheets, replace=True)
        assert counts(report, "kit_items") == {"removed": 1}
        assert counts(report, "makers") == {"added": 1, "unchanged": 1}
        assert dumped()["kit_items"] == []

    def test_every_sheet_is_needed_but_enquiries(self, loaded, dumped):
        sheets = small()
        del sheets["enquiries"], sheets["hazards"], sheets["wheels"]
        faults = loaded(sheets, replace=True).errors
        assert {fault.sheet for fault in faults if "missing" in fault.wrong} == {"hazards", "wheels"}
        sheets |= {name: SHEETS[name] for name in ("hazards", "wheels")}
        assert not loaded(sheets, replace=True).refused
        assert dumped()["enquiries"] == SHEETS["enquiries"]

    def test_all_may_go(self, loaded, dumped):
        report = loaded(
            {name: [] for name in SHEETS if name != "catalogue"} | {"catalogue": SHEETS["catalogue"]}, replace=True
        )
        assert not report.refused, report.lines()
        assert all(not rows for name, rows in dumped().items() if name not in ("catalogue", "enquiries"))


class TestCanonicalForms:
    @pytest.mark.parametrize(
        ("sheet", "at", "column", "text"),
        [
            ("fit_decisions", 1, "conditions", "market!=UK ; engine=E30|E20"),
            ("numbers", 0, "number", "1234567"),
            ("numbers", 0, "number", "12.34-567"),
            ("supersessions", 0, "old", "1234567"),
            ("fasteners", 0, "number", "991"),
            ("variants", 0, "kerb_mass_kg", "1500.000"),
            ("variants", 0, "in_operation", "0900"),
            ("variants", 0, "built_to", "2019-07-31"),
            ("variants", 1, "options", "SPORT  COMFORT"),
            ("platforms", 0, "built_to", "2013-12-31"),
            ("platforms", 0, "built_from", "2005-01"),
            ("makers", 0, "title", "  Alva "),
            ("components", 1, "bore_class", "62N7"),
            ("components", 1, "taper", "1 : 10"),
            ("ways", 0, "operations", "arm_off|arm_down;lift_car"),
            ("axle_locations", 0, "per", ""),
            ("joints", 0, "alternative", ""),
            ("equipment", 0, "kind", ""),
            ("axle_locations", 0, "static_tilt_deg", "-1.50"),
        ],
    )
    def test_another_spelling_is_no_change(self, loaded, dumped, sheet: str, at: int, column: str, text: str):
        before = dumped()
        sheets = small()
        sheets[sheet][at][column] = text
        report = loaded(sheets)
        assert not report.refused, report.lines()
        assert not report.has_changes
        assert dumped() == before

    def test_windows_are_written_in_the_shortest_exact_form(self, loaded, dumped):
        row = {"maker": "ALVA", "chassis": "QN3", "built_from": "2005-02-01", "built_to": "2012-02-29"}
        loaded(rows("platforms", row))
        assert [dumped()["platforms"][0][name] for name in ("built_from", "built_to")] == ["2005-02", "2012-02"]
        loaded(rows("platforms", row | {"built_to": "2012-02-28"}))
        assert dumped()["platforms"][0]["built_to"] == "2012-02-28"


class TestEditions:
    def test_a_load_that_changes_anything_makes_the_next_edition(self, loaded):
        loaded(rows("makers", {"maker": "ALVA", "title": "Other"}))
        edition = Edition.objects.get(number=2)
        assert Catalogue.objects.get().edition == 2
        assert edition.counts == {"makers": NOTHING | {"changed": 1}}
        (change,) = Change.objects.filter(edition=edition)
        assert (change.sheet, change.row_key, change.action) == ("makers", "ALVA", "changed")
        assert (change.before["title"], change.after["title"]) == ("Alva", "Other")

    def test_as_of_alone_is_a_change(self, loaded):
        report = loaded(rows("catalogue", {"catalogue": "small", "edition": "1", "as_of": "2025-07-31"}))
        assert (report.edition_after, str(Catalogue.objects.get().as_of)) == (2, "2025-07-31")

    def test_a_check_stores_nothing(self, loaded, dumped):
        before = dumped()
        report = loaded(rows("makers", {"maker": "ORM", "title": "Orm"}), check=True)
        assert counts(report, "makers") == {"added": 1}
        assert (report.edition_before, report.edition_after) == (1, 2)
        assert dumped() == before

    def stale(self) -> dict[str, list[dict[str, str]]]:
        return rows("catalogue", {"catalogue": "small", "edition": "1"})

    def test_rows_changed_since_the_files_edition_are_refused(self, loaded):
        loaded(rows("makers", {"maker": "ALVA", "title": "Second"}))
        file = self.stale() | rows("makers", {"maker": "ALVA", "title": "Third"}, {"maker": "ORM", "title": "Orm"})
        (fault,) = loaded(file).errors
        assert (fault.sheet, fault.row) == ("makers", 2)
        assert "edition 2" in fault.wrong
        assert not loaded(file, force=True).refused

    def test_rows_removed_and_groups_changed_since_are_refused_too(self, loaded):
        loaded(rows("stances", {"axle": "FX1", "location": "arm.outer", "remove": "yes"}))
        loaded(rows("joints", *SHEETS["joints"][:3], SHEETS["joints"][0] | {"component": "C3"}))
        again = self.stale() | {"stances": SHEETS["stances"], "joints": SHEETS["joints"][:3]}
        assert {fault.sheet for fault in loaded(again).errors} == {"stances", "joints"}

    def test_rows_that_agree_with_what_was_changed_since_pass(self, loaded):
        loaded(rows("makers", {"maker": "ALVA", "title": "Second"}))
        assert not loaded(self.stale() | rows("makers", {"maker": "ALVA", "title": "Second"})).refused

    def test_an_empty_edition_is_not_compared(self, loaded):
        loaded(rows("makers", {"maker": "ALVA", "title": "Second"}))
        file = rows("catalogue", {"catalogue": "small", "edition": ""}) | rows(
            "makers", {"maker": "ALVA", "title": "Third"}
        )
        assert not loaded(file).refused

    def test_another_catalogues_file_is_refused(self, loaded):
        file = rows("catalogue", {"catalogue": "other", "edition": "1"}) | rows(
            "makers", {"maker": "ORM", "title": "Orm"}
        )
        (fault,) = loaded(file).errors
        assert (fault.sheet, fault.row, fault.column) == ("catalogue", 2, "catalogue")
        assert not loaded(file, force=True).refused
        assert Catalogue.objects.get().code == "small"

    def test_a_dump_of_a_later_edition_loads_again_where_it_was_restored(self, loaded):
        file = small()
        file["catalogue"][0] |= {"catalogue": "small", "edition": "9"}
        report = loaded(file)
        assert not report.refused
        assert not report.has_changes
        assert any("edition 9, this is 1" in note for note in report.notes)

    def test_a_catalogue_has_one_row(self, load):
        (fault,) = load(rows("catalogue", *({"catalogue": code} for code in "AB"))).errors
        assert (fault.sheet, fault.row) == ("catalogue", 3)

    def test_an_emptied_catalogue_takes_over_the_files_code(self, loaded):
        empty = {name: [] for name in SHEETS}
        assert not loaded(empty, replace=True).refused
        other = small()
        other["catalogue"][0] |= {"catalogue": "other", "edition": "40"}
        assert not loaded(other).refused
        assert Catalogue.objects.get().code == "other"

    def test_replacing_by_force_takes_over_the_files_code(self, loaded):
        other = small()
        other["catalogue"][0] |= {"catalogue": "other"}
        assert loaded(other, replace=True).refused
        assert not loaded(other, replace=True, force=True).refused
        assert Catalogue.objects.get().code == "other"


def test_enquiries_are_passed_over_when_rows_stand(loaded, dumped):
    report = loaded(rows("enquiries", SHEETS["enquiries"][0] | {"count": "9"}))
    assert not report.refused
    assert any("enquiries" in note for note in report.notes)
    assert dumped()["enquiries"] == SHEETS["enquiries"]


def test_a_question_loaded_and_asked_again_is_one(load, dumped):
    sheets = small()
    today = datetime.now(UTC).date()
    empty = dict.fromkeys(("maker", "chassis", "variant", "location"), "")
    sheets["enquiries"] = [{"asked_on": today.isoformat(), **empty, "number": "12 34 567", "count": "3"}]
    assert not load(sheets).refused
    enquiry_log(asked=enquiry_check({"number": "1234-567"}), today=today)
    assert [(row["number"], row["count"]) for row in dumped()["enquiries"]] == [("1234567", "4")]


def test_an_option_moves_to_standard(loaded):
    loaded(rows("variants", {"variant": "V1", "options": "TOW", "standard_options": "SPORT"}))
    found = VariantOption.objects.filter(variant__code="V1").order_by("option__code")
    assert list(found.values_list("option__code", "standard")) == [("SPORT", True), ("TOW", False)]


def test_an_axle_of_another_topology_takes_its_rows_along(loaded):
    sheets = rows("locations", *({**row, "topology": "wishbone"} for row in SHEETS["locations"][:2]))
    report = loaded(sheets | rows("axles", {"axle": "FX1", "topology": "wishbone"}))
    assert not report.refused, report.lines()
    assert set(Joint.objects.filter(axle__code="FX1").values_list("location__topology__code", flat=True)) == {
        "wishbone"
    }
    assert not Location.objects.filter(topology__code="strut", joints__isnull=False).exists()


def test_an_axle_cannot_take_a_topology_without_its_locations(loaded):
    faults = loaded(rows("axles", {"axle": "FX1", "topology": "wishbone"})).errors
    assert {(fault.sheet, fault.column) for fault in faults} == {
        ("hardpoints", "outer_location"),
        ("stances", "location"),
    }
