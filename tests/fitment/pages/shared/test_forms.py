"""Forms of columns: what a field takes from its column, its refusals in the words of the workbook, how it is drawn."""

import re

import pytest
from django.template.loader import render_to_string

from catalog.workbook.cells import RawSheet
from catalog.workbook.errors import RowErrors
from catalog.workbook.rows import read_sheet
from fitment.pages.shared.forms import SheetForm
from fitment.sheets import SHEETS

DECISION = {"part": "LM-1", "revision": "A", "component": "C1", "decision": "approved", "decided_on": "2024-05-02"}


def drawn(form, name: str) -> str:
    return re.sub(r"\s+", " ", render_to_string("components/field.html", {"field": form[name]}))


@pytest.mark.parametrize("sheet", list(SHEETS), ids=lambda sheet: sheet.name)
def test_every_column_of_every_sheet_is_a_field_with_its_help(sheet):
    form = SheetForm(sheet)
    assert list(form.fields) == list(sheet.index)
    for column in sheet.columns:
        said = drawn(form, column.name)
        assert f'for="f-{column.name}"' in said
        assert f'id="f-{column.name}"' in said
        assert f'id="f-{column.name}-hint"' in said
        assert form.fields[column.name].help_text.startswith(column.help)


@pytest.mark.parametrize(
    ("sheet", "name", "text"),
    [
        ("fit_decisions", "part", "LM 1"),
        ("fit_decisions", "part", ""),
        ("fit_decisions", "conditions", "engine == E20"),
        ("fit_decisions", "decision", "aproved"),
        ("fit_decisions", "decided_on", "2021-02-30"),
        ("fit_decisions", "orientation_deg", "12,5"),
        ("fit_decisions", "remark", "=1+1"),
        ("measurements", "samples", "2.5"),
        ("measurements", "mean_mm", "-1"),
        ("joints", "built_from", "May"),
        ("joints", "alternative", "perhaps"),
        ("operations", "needs", "a |; b"),
        ("operations", "entails", "a a"),
        ("components", "taper", "1 to 10"),
        ("numbers", "number", "."),
        ("variants", "body", "a|b"),
    ],
)
def test_a_text_is_refused_in_the_words_of_the_workbook(sheet, name, text):
    sheet = SHEETS[sheet]
    faults = RowErrors()
    others = {column.name: "" for column in sheet.columns if column.key}
    heads = list(others | {name: text})
    read_sheet(
        RawSheet(sheet.name, heads, [(2, [text if head == name else "?" for head in heads])]),
        sheet,
        faults,
        groups=False,
    )
    told = next(f"{one.wrong}; {one.right}" for one in faults if one.column == name)
    assert SheetForm(sheet, (name,), {name: text}).errors == {name: [told]}


def test_a_row_that_is_right_is_read_into_its_canonical_texts():
    typed = DECISION | {"conditions": "engine=E30|E20", "orientation_deg": "012.50", "remark": " seen "}
    form = SheetForm(SHEETS["fit_decisions"], data=typed)
    assert form.is_valid()
    assert form.cleaned_data["conditions"] == "engine = E20 | E30"
    assert (form.cleaned_data["orientation_deg"], form.cleaned_data["remark"]) == ("12.5", "seen")


def test_an_error_keeps_what_was_typed_and_is_wired_for_screen_readers():
    form = SheetForm(SHEETS["fit_decisions"], data=DECISION | {"decided_on": "May", "decision": "perhaps"})
    for name, typed in (("decided_on", "May"), ("decision", "perhaps")):
        said = drawn(form, name)
        assert f'aria-describedby="f-{name}-hint f-{name}-error"' in said
        assert f'id="f-{name}-error"' in said
        assert 'aria-invalid="true"' in said
        assert f'value="{typed}"' in said


def test_a_form_that_nobody_has_sent_has_no_errors():
    form = SheetForm(SHEETS["fit_decisions"], initial=DECISION)
    assert not form.summary
    assert "error" not in drawn(form, "part")
    assert 'value="LM-1"' in drawn(form, "part")


def test_what_a_service_refuses_stands_at_its_field_once_and_on_top_wholly():
    form = SheetForm(SHEETS["fit_decisions"], ("part", "remark"), DECISION)
    form.refuse([("part", "is not known"), ("part", "is odd"), ("fit_decisions", "the row is empty"), ("", "busy")])
    assert form.errors == {"part": ["is not known"]}
    assert "Is not known" in drawn(form, "part")
    assert [(one["label"], one["href"], one["message"]) for one in form.summary] == [
        ("Part", "#f-part", "is not known"), ("Part", "#f-part", "is odd"),
        ("fit_decisions", "", "the row is empty"), ("", "", "busy"),
    ]  # fmt: skip


def test_known_values_stand_beside_a_field_that_is_typed():
    form = SheetForm(SHEETS["fit_decisions"], ("part",))
    assert "datalist" not in drawn(form, "part")
    form.suggest("part", ["LM-1", "LM-2"])
    said = drawn(form, "part")
    assert 'list="f-part-list"' in said
    assert '<datalist id="f-part-list"><option value="LM-1"><option value="LM-2"></datalist>' in said


def test_a_settled_field_is_sent_but_not_shown():
    form = SheetForm(SHEETS["fit_decisions"], ("part",), {"part": ""})
    form.hide("part", "LM-1")
    said = drawn(form, "part").strip()
    assert said.startswith('<input type="hidden" name="part" value="LM-1"')
    assert "label" not in said


@pytest.mark.parametrize(("name", "keyboard"), [("minutes", "decimal"), ("variant", ""), ("done_on", "")])
def test_figures_bring_the_keyboard_for_them(name, keyboard):
    said = drawn(SheetForm(SHEETS["job_times"]), name)
    assert (f'inputmode="{keyboard}"' in said) if keyboard else ("inputmode" not in said)
