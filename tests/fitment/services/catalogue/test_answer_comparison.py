"""The answers that change, against answering every car before and after: what was left out did not change."""

import csv
import io
import random
import zipfile
from collections import defaultdict
from dataclasses import asdict

import pytest
from django.db import transaction
from django.db.models import Sum

from catalog.codes import Role
from catalog.models import AnswerChange, Edition, MinutesChange, Variant
from catalog.workbook.reading import Source
from fitment.domain.description import Description, Question
from fitment.readers.editions import forget, uncached
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.catalogue.rows import row_edit
from fitment.services.fit.answering import answer_question
from fitment.sheets import SHEETS
from tests.demo import DEMO, demo_loaded

pytestmark = pytest.mark.django_db


def demo_rows(sheet: str) -> list[dict[str, str]]:
    with (DEMO / f"{sheet}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    with demo_loaded(django_db_blocker):
        yield


def all_answers() -> dict[tuple[str, str, str, str], dict[str, str | None]]:
    found = {}
    forget()
    for variant in Variant.objects.order_by("code").values_list("code", flat=True):
        answer = answer_question(question=Question(car=Description(variant=variant)), viewer=Role.PUBLIC, ask=False)
        for one in answer.answers:
            found[variant, one.end, one.location, one.part] = {
                "verdict": one.verdict, "revision": one.revision, "basis": one.basis,
            }  # fmt: skip
    return found


def told(report) -> dict[tuple[str, str, str, str], tuple[object, object]]:
    return {
        (variant, one.end, one.location, one.part): (one.before, one.after)
        for one in report.differences.answers
        for variant in one.variants
    }


def random_edit(sheet: str, seed: int) -> tuple[list[str], dict[str, str]]:
    """A row of the demo and what becomes of it: one of the cells that answers read, changed to another row's."""
    chosen = random.Random(seed)
    rows = demo_rows(sheet)
    row = chosen.choice(rows)
    key = [row[column.name] for column in SHEETS[sheet].columns if column.key]
    columns = {
        "fit_decisions": ["decision", "conditions", "component"], "joints": ["built_from", "component", "conditions"],
        "test_fits": ["outcome", "component", "done_on"], "revisions": ["status", "exchange", "outside_max_mm"],
        "variants": ["front_axle", "engine", "drivetrain", "standard_options"], "holds": ["closed_on", "batch_from"],
        "measurements": ["mean_mm"], "components": ["bore_max_mm", "seat_length_mm"], "axle_locations": ["retention_n"],
        "technologies": ["allows_rotation"], "parts": ["closure_um", "technology"],
    }  # fmt: skip
    column = chosen.choice(columns[sheet])
    values = sorted({other[column] for other in rows} - {row[column]})
    return key, row | {column: chosen.choice(values) if values else ""}


@pytest.mark.parametrize("seed", range(1))
@pytest.mark.parametrize(
    "sheet",
    ["fit_decisions", "joints", "test_fits", "revisions", "variants", "holds", "measurements", "components",
     "axle_locations", "technologies", "parts"],
)  # fmt: skip
def test_what_is_told_is_what_changes(demo, sheet: str, seed: int):
    from fitment.errors import BadParameters

    before = all_answers()
    for attempt in range(20):
        key, values = random_edit(sheet, seed * 100 + attempt)
        try:
            with transaction.atomic():
                report = row_edit(sheet=sheet, key=key, values=values, actor=None, role=Role.EDITOR)
                after = all_answers()
                transaction.set_rollback(True)
        except BadParameters:
            continue  # the corruption is no row of a catalogue; another one
        expected = {
            place: (before.get(place), after.get(place))
            for place in before.keys() | after.keys()
            if before.get(place) != after.get(place)
        }
        assert told(report) == expected, (key, values)
        return
    pytest.skip("no edit of this sheet was a catalogue")


def test_alike_answers_stand_together_with_their_cars(demo):
    key = ["LM-210", "C", "T-4110", "", "approved"]
    (row,) = [
        row
        for row in demo_rows("fit_decisions")
        if [row[name] for name in ("part", "revision", "component", "conditions", "decision")] == key
    ]
    report = row_edit(
        sheet="fit_decisions", key=key, values=row | {"decision": "rejected"}, actor=None, role=Role.EDITOR, check=True
    )
    places = defaultdict(set)
    for one in report.differences.answers:
        assert (one.axle, one.end, one.location, one.part) == ("TNF4", "front", "tension_link.inner", "LM-210")
        assert one.in_operation == sum(
            Variant.objects.filter(code__in=one.variants).values_list("in_operation", flat=True)
        )
        places[str(one.before), str(one.after)] |= set(one.variants)
    assert len(places) == len(report.differences.answers) > 1
    assert "TNF4 tension_link.inner LM-210: fits C carried_over -> fits B fitted (3 variants" in "\n".join(
        report.lines()
    )


def test_a_cell_that_no_answer_reads_touches_no_car(demo, monkeypatch):
    def fail(*_: object) -> None:
        raise AssertionError("nothing needs to be answered")

    monkeypatch.setattr("fitment.services.catalogue.answer_comparison._read_facts", fail)
    (row,) = [row for row in demo_rows("parts") if row["part"] == "LM-210"]
    report = row_edit(
        sheet="parts", key=["LM-210"], values=row | {"comfort": "other words"}, actor=None, role=Role.EDITOR
    )
    assert report.counts["parts"]["changed"] == 1
    assert report.differences.answers == []


def test_minutes_that_change_stand_apart(demo):
    rows = [row for row in demo_rows("operations") if row["axle"] == "TNF4" and row["zone"] != "car"]
    way = next(row for row in demo_rows("ways") if row["axle"] == "TNF4" and row["location"] == "tension_link.inner")
    first = way["operations"].replace(";", "|").split("|")[0].strip()
    (row,) = [row for row in rows if row["operation"] == first]
    values = row | {"remove_likely": row["remove_max"]}
    report = row_edit(sheet="operations", key=["TNF4", first], values=values, actor=None, role=Role.EDITOR)
    assert report.differences.answers == []
    assert report.differences.minutes
    for one in report.differences.minutes:
        assert one.axle == "TNF4"
        assert one.after > one.before


def test_nothing_of_a_check_stays_in_the_process(demo):
    """Answers after a check that was rolled back are those before it."""
    before = all_answers()
    key = ["LM-210", "C", "T-4110", "", "approved"]
    with transaction.atomic():
        row_edit(sheet="fit_decisions", key=key, values=None, actor=None, role=Role.EDITOR, check=True)
        transaction.set_rollback(True)
    question = Question(car=Description(variant=Variant.objects.filter(front_axle__code="TNF4").first().code))
    with uncached():
        anew = answer_question(question=question, viewer=Role.PUBLIC, ask=False)
    assert answer_question(question=question, viewer=Role.PUBLIC, ask=False) == anew
    assert before == all_answers()


def test_an_edition_keeps_what_a_load_changed_and_how_far_it_reaches(demo):
    """Each car is counted once, in however many answers and jobs it changes."""
    # The parts of one half are refused, so that the jobs of the others are still there to take longer.
    refused = [row | {"decision": "rejected"} for row in demo_rows("fit_decisions") if row["part"].startswith("LM-2")]
    slower = [row | {"remove_max": "40"} for row in demo_rows("operations") if row["operation"] == "wheel_off"]
    report = load_rows(fit_decisions=refused, operations=slower)
    edition = Edition.objects.get(number=report.edition_after)
    for kind, model, changes in (
        ("answers", AnswerChange, report.differences.answers), ("minutes", MinutesChange, report.differences.minutes),
    ):  # fmt: skip
        columns = ("axle", "end", "location", "part", "before", "after", "variants", "in_operation")
        kept = model.objects.filter(edition=edition).order_by("pk").values(*columns)
        assert list(kept) == [asdict(one) | {"variants": list(one.variants)} for one in changes]
        touched = {variant for one in changes for variant in one.variants}
        cars = Variant.objects.filter(code__in=touched).aggregate(cars=Sum("in_operation"))["cars"]
        assert edition.reach[kind] == {"changes": len(changes), "variants": len(touched), "in_operation": cars}
        assert len(changes) > 1
        assert cars < sum(one.in_operation for one in changes)


def load_rows(**sheets: list[dict[str, str]]):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, rows in sheets.items():
            text = io.StringIO(newline="")
            writer = csv.DictWriter(text, list(rows[0]))
            writer.writeheader()
            writer.writerows(rows)
            archive.writestr(f"{name}.csv", text.getvalue())
    report = catalogue_load(source=Source("rows.zip", data=packed.getvalue()))
    assert not report.refused, report.lines(most=5)
    return report
