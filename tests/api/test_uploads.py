"""`catalogue/checks/`: handed in, checked, loaded exactly as checked."""

import io
import zipfile
from uuid import UUID

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from procrastinate.contrib.django import app
from procrastinate.contrib.django.models import ProcrastinateJob

from catalog.codes import Role
from catalog.models import Catalogue, Edition, Maker, Upload
from fitment.services.catalogue import queue_work, uploads
from tests import factories as make

PATH = "/api/v1/catalogue/checks/"


def workbook(**sheets: str) -> bytes:
    """A zip of CSV sheets."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, text in sheets.items():
            archive.writestr(f"{name}.csv", text)
    return packed.getvalue()


GOOD = workbook(makers="maker,title,wmi\nALVA,Alva Motor,\nNOVA,Nova,\n")
BAD = workbook(makers="maker,title,wmi\nALVA,,\n", variants="variant,chasis\nX,QN4\n")


def hand_in(client, content: bytes = GOOD, **wishes: str):
    return client.post(PATH, {"file": SimpleUploadedFile("makers.zip", content), **wishes})


@pytest.fixture
def editor(api, small):
    return api(Role.EDITOR).client


def work(answer) -> None:
    """What the worker does with what is queued for an upload."""
    upload = UUID(answer.json()["id"])
    uploads.upload_check(upload_id=upload)
    uploads.upload_load(upload_id=upload)


def test_from_handed_in_to_loaded(editor):
    answer = hand_in(editor)
    assert answer.status_code == 202
    body = answer.json()
    assert (body["state"], body["report"], body["load_href"]) == ("waiting", None, None)
    assert answer["Location"] == body["href"]
    work(answer)
    body = editor.get(body["href"]).json()
    assert (body["state"], body["edition_checked"]) == ("checked", 1)
    assert body["report"]["counts"] == {"makers": {"added": 1, "changed": 1, "unchanged": 0, "removed": 0}}
    assert not Maker.objects.filter(code="NOVA").exists()
    asked = editor.post(body["load_href"])
    assert (asked.status_code, asked.json()["state"]) == (202, "loading")
    work(answer)
    body = editor.get(body["href"]).json()
    assert (body["state"], body["edition_loaded"]) == ("loaded", 2)
    assert Maker.objects.get(code="ALVA").title == "Alva Motor"
    assert Edition.objects.get().actor_name == "somebody-editor"


def test_the_errors_of_a_refused_file_name_sheet_row_and_column(editor):
    answer = hand_in(editor, BAD)
    work(answer)
    body = editor.get(answer.json()["href"]).json()
    assert (body["state"], body["load_href"]) == ("refused", None)
    places = {(fault["sheet"], fault["row"], fault["column"]) for fault in body["report"]["errors"]}
    assert ("makers", 2, "title") in places
    assert any(sheet == "variants" and row == 1 for sheet, row, _ in places)
    refused = editor.post(f"{body['href']}load/")
    assert refused.status_code == 409
    assert refused.json()["state"] == "refused"


def test_a_file_that_cannot_be_read_is_checked_at_the_edition_there_is(editor):
    answer = hand_in(editor, b"no workbook")
    work(answer)
    body = editor.get(answer.json()["href"]).json()
    assert (body["state"], body["edition_checked"]) == ("refused", 1)


def test_another_edition_since_the_check_refuses_the_load_and_checks_anew(editor):
    answer = hand_in(editor)
    work(answer)
    make.next_edition()
    refused = editor.post(f"{answer.json()['href']}load/")
    assert refused.status_code == 409
    assert editor.get(answer.json()["href"]).json()["state"] == "moved"
    fresh = editor.get(refused.json()["fresh"])
    assert fresh.json()["state"] == "waiting"
    work(fresh)
    assert editor.get(refused.json()["fresh"]).json()["edition_checked"] == 2
    assert not Maker.objects.filter(code="NOVA").exists()


def test_another_edition_between_asking_and_loading_stores_nothing(editor):
    answer = hand_in(editor)
    work(answer)
    assert editor.post(f"{answer.json()['href']}load/").status_code == 202
    make.next_edition()
    work(answer)
    assert editor.get(answer.json()["href"]).json()["state"] == "moved"
    assert not Maker.objects.filter(code="NOVA").exists()
    assert Upload.objects.filter(state="waiting").count() == 1


def test_a_load_is_asked_for_once(editor):
    answer = hand_in(editor)
    work(answer)
    first, second = (editor.post(f"{answer.json()['href']}load/") for _ in range(2))
    assert (first.status_code, second.status_code) == (202, 409)
    work(answer)
    work(answer)  # the queue may run it again after a crash
    assert Catalogue.objects.get().edition == 2


def test_a_failure_is_shown_as_one(editor, monkeypatch):
    answer = hand_in(editor)

    def fail(**asked):
        raise RuntimeError("the machine broke")

    monkeypatch.setattr(uploads, "catalogue_load", fail)
    with pytest.raises(RuntimeError):
        work(answer)
    assert editor.get(answer.json()["href"]).json()["state"] == "failed"


@pytest.mark.parametrize("role", [Role.PUBLIC, Role.SALES, Role.DEVELOPMENT])
def test_only_editors(api, small, role):
    client = api(role).client
    wanted = 401 if role is Role.PUBLIC else 403
    assert hand_in(client).status_code == wanted
    assert client.get(f"{PATH}00000000-0000-0000-0000-000000000000/").status_code == wanted
    assert client.post(f"{PATH}00000000-0000-0000-0000-000000000000/load/").status_code == wanted
    assert not Upload.objects.exists()


@pytest.mark.parametrize("key", ["00000000-0000-0000-0000-000000000000", "nonsense"])
def test_no_such_check(editor, key):
    assert editor.get(f"{PATH}{key}/").status_code == 404
    assert editor.post(f"{PATH}{key}/load/").status_code == 404


def test_bad_forms_name_the_field(editor):
    assert editor.post(PATH, {}).json()["errors"][0]["field"] == "file"
    assert hand_in(editor, replace="perhaps").json()["errors"][0]["field"] == "replace"
    (error,) = hand_in(editor, replce="yes").json()["errors"]
    assert error["field"] == "replce"
    assert "nearest is 'replace'" in error["message"]
    assert editor.post(PATH, {"file": "x"}, content_type="application/json").status_code == 415
    assert not Upload.objects.exists()


def test_a_file_that_is_too_large_is_refused_before_it_is_kept(editor, monkeypatch):
    monkeypatch.setattr(uploads, "MOST_BYTES", len(GOOD) - 1)
    assert hand_in(editor).status_code == 413
    assert not Upload.objects.exists()


def test_the_queue_takes_an_upload_with_its_transaction(editor):
    answer = hand_in(editor)
    (job,) = ProcrastinateJob.objects.filter(task_name=uploads.CHECK)
    assert job.args == {"upload_id": answer.json()["id"]}
    assert job.lock == "catalogue"


@pytest.mark.django_db(transaction=True)
def test_the_worker_works_it_off_and_tells_how_far_it_is(token, client, monkeypatch):
    make.small_catalogue()
    client.defaults["HTTP_AUTHORIZATION"] = f"Token {token(Role.EDITOR)}"
    told = []
    telling = queue_work._Teller._write
    monkeypatch.setattr(queue_work._Teller, "_write", lambda self, *what: (told.append(what), telling(self, *what)))
    answer = hand_in(client)
    with app.replace_connector(app.connector.get_worker_connector()) as worker:
        worker.run_worker(wait=False, install_signal_handlers=False, listen_notify=False)
    assert client.get(answer.json()["href"]).json()["state"] == "checked"
    assert {stage for stage, _, _ in told} >= {"rules checked"}
