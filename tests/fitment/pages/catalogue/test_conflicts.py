"""Each kind of conflict and gap of the demo: its line leads to the row that mends it, and then the line is gone."""

import io
from html.parser import HTMLParser
from uuid import UUID

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from catalog.codes import Role
from fitment.readers.editions import forget
from fitment.services.catalogue.conflicts import catalogue_conflicts
from fitment.services.catalogue.uploads import upload_check, upload_load
from tests.demo import demo_loaded

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    with demo_loaded(django_db_blocker):
        yield


@pytest.fixture
def editor(demo, client_of):
    return client_of(Role.EDITOR)


class Form(HTMLParser):
    """What a browser would send of the form that mends a row: the last of the page."""

    def __init__(self, content: str) -> None:
        super().__init__()
        self.values: dict[str, str] = {}
        self._name = ""
        self._is_text = False
        self.feed(content)

    def handle_starttag(self, tag: str, pairs: list[tuple[str, str | None]]) -> None:
        of = {name: value or "" for name, value in pairs}
        if tag == "form":
            self.values = {}
        elif tag == "input" and "name" in of:
            self.values[of["name"]] = of.get("value", "")
        elif tag in ("select", "textarea"):
            self._name, self._is_text = of["name"], tag == "textarea"
            self.values[self._name] = ""
        elif tag == "option" and "selected" in of:
            self.values[self._name] = of["value"]

    def handle_endtag(self, tag: str) -> None:
        self._is_text = False

    def handle_data(self, data: str) -> None:
        if self._is_text:
            self.values[self._name] += data


def found() -> dict[str, int]:
    """How many lines of each kind there are."""
    forget()
    amiss = catalogue_conflicts()
    gaps = amiss.gaps
    kinds = {
        "joints": gaps.joints, "decisions": gaps.contradictions, "unreached": gaps.unreached, "components": gaps.empty,
        "measurements": gaps.unmeasured, "numbers": amiss.aimless, "ways": gaps.closed,
    }  # fmt: skip
    return {name: len(lines) for name, lines in kinds.items()}


MENDED = [
    ("joints", "Mend E-3113", {"built_from": "2030"}),
    ("joints", "Mend T-2241 from 2009-06", {"built_from": "2010-04"}),
    ("decisions", "The approval", {"conditions": "option.TOWBAR = no"}),
    ("decisions", "The rejection", {"decision": "approved"}),
    ("unreached", "The decision", {"conditions": ""}),
    ("components", "Add a joint", {"component": "T-2220", "alternative": "no"}),
    ("measurements", "Add a measurement",
     {"feature": "bore", "measured_on": "2026-01-02", "mean_mm": "60", "samples": "3", "spread_mm": "0.01",
      "uncertainty_mm": "0.002"}),
    ("numbers", "Give it a target", {"kind": "component", "component": "T-2220"}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "link", "typed"), MENDED)
def test_a_line_leads_to_what_mends_it(kind, link, typed, editor, open_page):
    before = found()
    href = open_page("/catalogue/conflicts/", by=editor).href(link)
    form = Form(editor.get(href).content.decode())
    stored = editor.post(href, {**form.values, **typed, "step": "save"})
    assert stored.status_code == 303, [line for line in stored.content.decode().splitlines() if "error" in line]
    assert open_page(stored["Location"], by=editor).href("Conflicts and gaps") == "/catalogue/conflicts/"
    assert found()[kind] == before[kind] - 1


def test_the_first_way_of_an_axle_comes_by_a_workbook_with_its_operations(editor, open_page):
    """A way names operations and an operation needs a way: one by one neither could be stored."""
    before = found()
    href = open_page("/catalogue/conflicts/", by=editor).href("Workbook to fill in")
    book = openpyxl.load_workbook(io.BytesIO(editor.get(href).content))
    filled = {
        "operations": {"operation": "joint_out", "title": "Joint out", "per_side": "yes", "remove_min": 5,
                       "remove_likely": 6, "remove_max": 9, "refit_min": 5, "refit_likely": 6, "refit_max": 9,
                       "skill": 2},
        "ways": {"way": "below", "operations": "joint_out"},
    }  # fmt: skip
    for name, cells in filled.items():
        heads = [cell.value for cell in book[name][1]]
        for head, value in cells.items():
            book[name].cell(2, heads.index(head) + 1, value)
    content = io.BytesIO()
    book.save(content)
    answer = editor.post("/catalogue/", {"file": SimpleUploadedFile("first-way.xlsx", content.getvalue())})
    check = UUID(answer["Location"].split("/")[-2])
    upload_check(upload_id=check)
    assert "Load exactly this" in open_page(answer["Location"], by=editor).text
    editor.post(f"{answer['Location']}load/")
    upload_load(upload_id=check)
    assert found()["ways"] == before["ways"] - 1
