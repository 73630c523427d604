"""The editor's pages, as a browser without JavaScript sees them: from a workbook handed in to what it changed."""

import csv
import io
import zipfile
from urllib.parse import urlencode
from uuid import UUID

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from procrastinate.contrib.django.models import ProcrastinateJob

from catalog.codes import Role
from catalog.models import Catalogue, Change, Download, Edition, Upload
from catalog.workbook.dumping import csv_files, zipped
from catalog.workbook.reading import Source
from fitment.models import FitDecision
from fitment.services.catalogue.downloads import WRITE, download_write, downloads_give_up, workbook_write
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.catalogue.uploads import upload_check, upload_load
from fitment.sheets import SHEETS
from tests.fitment.pages.conftest import Sheet

KEY = ["LM-210", "B", "C1", "", "approved"]
MEND = "/catalogue/mend/fit_decisions/?" + urlencode([("key", part) for part in KEY])
REJECTION = (
    "part,revision,component,conditions,decision,decided_on,orientation_deg,orientation_from,remark\n"
    "LM-210,B,C1,,rejected,2022-01-01,,,too tight\n"
)


@pytest.fixture
def editor(small, client_of):
    """The small catalogue, and an editor at it."""
    return client_of(Role.EDITOR)


def book(**sheets: str) -> bytes:
    return zipped((f"{name}.csv", text.encode()) for name, text in sheets.items())


def hand_in(editor, content: bytes, **wishes: str) -> str:
    """Hands a workbook in, has the worker check it, and returns the address of its check."""
    answer = editor.post("/catalogue/", {"file": SimpleUploadedFile("book.zip", content), **wishes})
    assert answer.status_code == 303, answer.content.decode()
    upload_check(upload_id=UUID(answer["Location"].split("/")[-2]))
    return answer["Location"]


def mended(editor, step: str, status: int, **values: str) -> Sheet:
    """Posts the form of the decision with some values typed anew; the page must answer with the status."""
    form = editor.get(MEND)
    sheet = Sheet(form.content.decode())
    standing = {name: fields[0].get("value", "") for name, fields in sheet.fields.items() if name in names()}
    chosen = {"decision": "approved", "edition": sheet.fields["edition"][0]["value"]}
    answer = editor.post(MEND, {**standing, **chosen, "step": step, **values})
    assert answer.status_code == status, answer.content.decode()
    return Sheet(answer.content.decode()) if status != 303 else Sheet(f'<a href="{answer["Location"]}">to</a>')


def names() -> list[str]:
    return list(SHEETS["fit_decisions"].index)


@pytest.mark.parametrize(
    "path",
    ["", "conflicts/", "compare/", "edition/1/", "sheet/joints/", "row/makers/?key=ALVA", "workbook.zip",
     "edition/1/answers.csv", "first-way.xlsx", "download/4c2fd6ad-2f8a-4f5c-9f53-39ec3bb4cd8a/",
     "mend/holds/?new=yes", "check/4c2fd6ad-2f8a-4f5c-9f53-39ec3bb4cd8a/"],
)  # fmt: skip
def test_only_editors(path, small, client_of):
    assert client_of(Role.PUBLIC).get(f"/catalogue/{path}").status_code == 302
    assert client_of(Role.DEVELOPMENT).get(f"/catalogue/{path}").status_code == 403


def test_from_handed_in_to_what_changed(editor, open_page):
    check = hand_in(editor, book(fit_decisions=REJECTION))
    page = open_page(check, by=editor)
    assert "Answers that change" in page.text
    assert "Fits" in page.text
    assert "Does not fit" in page.text
    assert "2 variants" in page.text.replace("2 variants by name", "2 variants")
    assert FitDecision.objects.get(revision__letter="B").decision == "approved"

    assert editor.post(f"{check}load/").status_code == 303
    waiting = editor.get(check).content.decode()
    assert '<meta http-equiv="refresh"' in waiting
    assert "<progress" in waiting
    upload_load(upload_id=UUID(check.split("/")[-2]))
    loaded = open_page(check, by=editor)
    changed = open_page(loaded.href("What changed in edition 2"), by=editor)
    assert "too tight" in changed.text
    assert "book.zip" in changed.text
    assert "LM-210 / B / C1 / / rejected" in changed.text
    assert FitDecision.objects.get(revision__letter="B").decision == "rejected"
    assert "edition 2" in open_page("/catalogue/", by=editor).text.lower()


def test_progress_is_a_part_of_the_page_and_ends_with_the_report(editor):
    answer = editor.post("/catalogue/", {"file": SimpleUploadedFile("book.zip", book(fit_decisions=REJECTION))})
    check = answer["Location"]
    Upload.objects.update(state="checking", stage="answers compared", done=1200, total=4000)
    part = editor.get(check, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in part
    assert 'value="1200" max="4000"' in part
    assert "1,200 of 4,000" in part
    Upload.objects.update(state="waiting", stage="", done=0, total=0)
    upload_check(upload_id=UUID(check.split("/")[-2]))
    assert editor.get(check, headers={"HX-Request": "true"})["HX-Refresh"] == "true"


def test_errors_stand_by_sheet_row_and_column_and_can_be_downloaded(editor, open_page):
    wrong = REJECTION.replace("2022-01-01", "=1+1") + "LM-210,B,NO-SUCH,,rejected,2022-02,,,\n"
    check = hand_in(editor, book(fit_decisions=wrong))
    page = open_page(check, by=editor)
    assert "nothing was stored" in page.text
    assert "decided_on" in page.text
    assert "component" in page.text
    assert "YYYY-MM-DD" in page.text
    rows = list(csv.DictReader(io.StringIO(editor.get(f"{check}errors.csv").content.decode("utf-8-sig"))))
    assert {(row["sheet"], row["row"]) for row in rows} == {("fit_decisions", "2"), ("fit_decisions", "3")}
    assert all(row["wrong"] and not row["wrong"].startswith("=") for row in rows)
    assert editor.post(f"{check}load/").status_code == 303
    assert Edition.objects.count() == 0


def test_errors_are_counted_by_sheet_and_shown_for_one_alone(editor, open_page):
    wrong = REJECTION.replace("C1", "NO-SUCH")
    check = hand_in(editor, book(fit_decisions=wrong, makers="maker,title\nA B,Other\n,None\n"))
    page = open_page(check, by=editor)
    assert "3 errors; nothing was stored" in page.text
    assert "NO-SUCH" in page.text
    alone = open_page(page.href("makers (2)"), by=editor)
    assert "3 errors; nothing was stored" in alone.text
    assert "NO-SUCH" not in alone.text
    assert "A B" in alone.text


def test_the_load_is_refused_with_a_fresh_check_when_the_edition_moved(editor, open_page):
    check = hand_in(editor, book(fit_decisions=REJECTION))
    catalogue_load(source=Source("other", data=book(makers="maker,title\nOTHER,Other\n")))
    answer = editor.post(f"{check}load/")
    assert answer.status_code == 409
    fresh = Sheet(answer.content.decode()).href("To the fresh check")
    assert fresh != check
    assert FitDecision.objects.get(revision__letter="B").decision == "approved"
    upload_check(upload_id=UUID(fresh.split("/")[-2]))
    assert "Load exactly this" in open_page(fresh, by=editor).text
    assert open_page(check, by=editor).href("To the fresh check") == fresh


def test_answers_are_searched(editor, open_page):
    check = hand_in(editor, book(fit_decisions=REJECTION))
    assert open_page(f"{check}?q=fx1+lm-210", by=editor).href("LM-210")
    assert "No answer that changes holds these words" in open_page(f"{check}?q=nothing", by=editor).text
    assert "No answer that changes holds these words" in open_page(f"{check}?kind=won", by=editor).text
    assert open_page(f"{check}?kind=lost", by=editor).href("LM-210")


def test_a_file_is_asked_for_and_its_size_held(editor, monkeypatch):
    none = editor.post("/catalogue/", {"replace": "yes"})
    assert none.status_code == 422
    assert b"Choose an .xlsx file" in none.content
    for content, wrong in (
        (b"%PDF-1.4", "neither a spreadsheet nor a zip"),
        (b"\xd0\xcf\x11\xe0", "an old or encrypted"),
    ):
        answer = editor.post("/catalogue/", {"file": SimpleUploadedFile("plan.pdf", content), "force": "yes"})
        page = Sheet(answer.content.decode())
        assert answer.status_code == 422
        assert page.href("Workbook") == "#f-file"
        assert page.text.count(wrong) == 2  # on top and at the field
        assert page.fields["file"][0]["aria-invalid"] == "true"
        assert "checked" in page.fields["force"][0]
    monkeypatch.setattr("fitment.pages.catalogue.home.MOST_BYTES", 10)
    monkeypatch.setattr("fitment.pages.catalogue.home.FORM_ROOM", 0)
    large = editor.post("/catalogue/", {"file": SimpleUploadedFile("book.zip", b"x" * 100)})
    assert large.status_code == 413
    assert not Upload.objects.exists()


def test_a_fact_is_previewed_then_stored(editor, open_page):
    preview = mended(editor, "preview", 200, decision="rejected")
    assert "Store exactly this" in preview.text
    assert "Does not fit" in preview.text
    assert FitDecision.objects.get(revision__letter="B").decision == "approved"
    assert preview.fields["decision"][0]["value"] == "rejected"
    to = mended(editor, "save", 303, decision="rejected").href("to")
    assert FitDecision.objects.get(revision__letter="B").decision == "rejected"
    assert "Stored. This is what changed." in open_page(to, by=editor).text


def test_errors_of_a_fact_stand_at_the_field_and_keep_what_was_typed(editor):
    page = mended(editor, "preview", 422, decided_on="2021-02-30", remark="kept as typed")
    assert page.fields["decided_on"][0]["aria-invalid"] == "true"
    assert page.fields["decided_on"][0]["value"] == "2021-02-30"
    assert "kept as typed" in page.text


def test_two_editors_at_one_fact(editor):
    """The second to store is refused, with what the first changed; what was typed stays."""
    form = Sheet(editor.get(MEND).content.decode())
    seen = form.fields["edition"][0]["value"]
    mended(editor, "save", 303, remark="of the first")
    page = mended(editor, "save", 409, remark="of the second", edition=seen)
    assert "changed meanwhile" in page.text
    assert "of the first" in page.text
    assert "of the second" in page.text
    assert FitDecision.objects.get(revision__letter="B").remark == "of the first"


def test_another_edition_between_preview_and_storing_brings_a_fresh_preview(editor):
    seen = Sheet(editor.get(MEND).content.decode()).fields["edition"][0]["value"]
    catalogue_load(source=Source("other", data=book(makers="maker,title\nOTHER,Other\n")))
    page = mended(editor, "save", 409, remark="late", edition=seen)
    assert "another edition came first" in page.text
    assert "Store exactly this" in page.text
    assert FitDecision.objects.get(revision__letter="B").remark == ""
    mended(editor, "save", 303, remark="late", edition=page.fields["edition"][0]["value"])
    assert FitDecision.objects.get(revision__letter="B").remark == "late"


def test_a_row_goes_and_its_history_stays(editor, open_page):
    assert "If this row is removed" in mended(editor, "preview_removal", 200).text
    mended(editor, "remove", 303)
    key = " / ".join(KEY)
    history = open_page(f"/catalogue/row/fit_decisions/?{urlencode({'key': key})}", by=editor)
    assert "does not stand any more" in history.text
    assert "Removed" in history.text
    assert "does not stand any more" in open_page(MEND, 409, by=editor).text
    assert Change.objects.get(row_key=key).after is None


def test_counts_stand_in_the_order_of_the_workbook(editor):
    # As JSON in the database the shorter name comes first.
    href = hand_in(editor, book(parts="part,title\nLM-210,Anew\n", components="component,title\nC1,Anew\n"))
    assert [sheet for sheet, _ in editor.get(href).context["counts"]] == ["components", "parts"]


def test_difference_of_two_editions_and_the_workbook_of_one(editor, open_page):
    # The small catalogue was not loaded: its rows have no history, so the first edition is made here.
    mended(editor, "save", 303, remark="first")
    one = Catalogue.objects.get().edition
    mended(editor, "save", 303, remark="second")
    page = open_page(f"/catalogue/compare/?from={one}&to={one + 1}", by=editor)
    assert "remark" in page.text
    assert "first" in page.text
    assert "second" in page.text
    with zipfile.ZipFile(io.BytesIO(editor.get(f"/catalogue/edition/{one}/workbook.zip").content)) as old:
        assert b"first" in old.read("fit_decisions.csv")
    assert editor.get("/catalogue/workbook.zip").content == zipped(csv_files(SHEETS))
    wrong = open_page("/catalogue/compare/?from=77&to=nothing", 400, by=editor)
    assert wrong.href("To edition") == "#f-to"
    assert wrong.text.count("There is no edition 77") == 2  # on top and at the field
    assert wrong.fields["to"][0]["value"] == "nothing"


@pytest.mark.parametrize("ending", ["xlsx", "zip"])
def test_a_large_workbook_is_written_by_the_worker(ending, editor, open_page, monkeypatch):
    monkeypatch.setattr("fitment.services.catalogue.downloads.AT_ONCE", 3)
    assert open_page("/catalogue/", by=editor).fields["ending"][0]["value"] == "xlsx"
    at_once = editor.get(f"/catalogue/workbook.{ending}")
    page = editor.post("/catalogue/download/", {"ending": ending, "edition": ""})["Location"]
    (job,) = ProcrastinateJob.objects.filter(task_name=WRITE)
    assert page == f"/catalogue/download/{job.args['download_id']}/"
    assert "Waiting for the worker" in open_page(page, by=editor).text
    assert editor.get(f"{page}file/").status_code == 404
    assert "<html" not in editor.get(page, headers={"HX-Request": "true"}).content.decode()

    download_write(download_id=UUID(job.args["download_id"]))
    assert editor.get(page, headers={"HX-Request": "true"})["HX-Refresh"] == "true"
    file = editor.get(open_page(page, by=editor).href("Save"))
    assert file["Content-Disposition"] == at_once["Content-Disposition"]
    assert file.content == at_once.content


def test_the_writing_of_an_edition_tells_how_far_it_is(editor, monkeypatch):
    monkeypatch.setattr("fitment.services.catalogue.downloads.TELL_AFTER", 1)
    mended(editor, "save", 303, remark="first")
    edition = Catalogue.objects.get().edition
    told = []
    written = workbook_write(ending="zip", edition=edition, progress=lambda *what: told.append(what))
    assert written == workbook_write(ending="zip", edition=edition)
    rows = [done for stage, done, _ in told if stage == "rows written"]
    assert rows == list(range(1, len(rows) + 1))
    assert told[-1] == ("file packed", 0, 0)


def test_a_download_that_cannot_be_is_not_asked_for(editor):
    for wish in ({"ending": "pdf"}, {"ending": "zip", "edition": "77"}, {"ending": "zip", "edition": "one"}):
        assert editor.post("/catalogue/download/", wish).status_code == 404
    assert not Download.objects.exists()


def test_a_download_that_failed_says_so_and_is_asked_for_again(editor, open_page, monkeypatch):
    page = editor.post("/catalogue/download/", {"ending": "zip"})["Location"]

    def fail(**_):
        raise ZeroDivisionError

    with monkeypatch.context() as patched:
        patched.setattr("fitment.services.catalogue.downloads.workbook_write", fail)
        with pytest.raises(ZeroDivisionError):
            download_write(download_id=UUID(page.split("/")[-2]))
    failed = open_page(page, by=editor)
    assert "The work failed" in failed.text
    assert failed.fields["ending"][0]["value"] == "zip"


def test_a_download_that_nobody_works_at_is_given_up(editor):
    kept, left = (editor.post("/catalogue/download/", {"ending": "zip"})["Location"].split("/")[-2] for _ in "12")
    ProcrastinateJob.objects.filter(args__download_id=left).delete()
    assert downloads_give_up() == [UUID(left)]
    assert Download.objects.get(pk=left).state == "failed"
    assert Download.objects.get(pk=kept).state == "waiting"
