"""Two workbooks checked against one edition, and both to be loaded: one is, the other is checked anew."""

import threading
from uuid import UUID

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client

from catalog.codes import Role
from catalog.models import Catalogue, Edition, Maker, Upload
from catalog.workbook.dumping import zipped
from fitment.services.catalogue.uploads import upload_check, upload_load, upload_load_ask
from tests.fitment.interruptions.conftest import Dump, left_in_queue, work_off

pytestmark = pytest.mark.django_db(transaction=True)
PATH = "/api/v1/catalogue/checks/"
NEW = ("NOVA", "ORM")


@pytest.fixture
def editor(before: Dump, client: Client, token) -> Client:
    client.defaults["HTTP_AUTHORIZATION"] = f"Token {token(Role.EDITOR)}"
    return client


@pytest.fixture
def checks(editor: Client) -> list[str]:
    """The addresses of two checks, each of a workbook with a maker of its own, done at the same edition."""
    found = []
    for maker in NEW:
        book = zipped([("makers.csv", f"maker,title\n{maker},{maker.title()}\n".encode())])
        answer = editor.post(PATH, {"file": SimpleUploadedFile(f"{maker}.zip", book)})
        upload_check(upload_id=key_of(answer.json()["href"]))
        found.append(answer.json()["href"])
    assert set(Upload.objects.values_list("state", "edition_checked")) == {("checked", 1)}
    return found


def key_of(href: str) -> UUID:
    return UUID(href.rstrip("/").split("/")[-1])


def makers() -> set[str]:
    return set(Maker.objects.filter(code__in=NEW).values_list("code", flat=True))


def test_one_after_the_other(editor: Client, checks: list[str]):
    first, second = checks
    assert editor.post(f"{first}load/").status_code == 202
    upload_load(upload_id=key_of(first))
    refused = editor.post(f"{second}load/")
    assert refused.status_code == 409
    assert (makers(), Catalogue.objects.get().edition) == ({"NOVA"}, 2)
    work_off()
    fresh = editor.get(refused.json()["fresh"]).json()
    assert (fresh["state"], fresh["edition_checked"]) == ("checked", 2)
    assert editor.post(fresh["load_href"]).status_code == 202
    work_off()
    assert (makers(), Catalogue.objects.get().edition) == ({"NOVA", "ORM"}, 3)
    assert editor.get(second).json()["state"] == "moved"


def test_both_asked_for_before_either_is_loaded(editor: Client, checks: list[str]):
    assert [editor.post(f"{check}load/").status_code for check in checks] == [202, 202]
    work_off()
    assert [editor.get(check).json()["state"] for check in checks] == ["loaded", "moved"]
    assert (makers(), Catalogue.objects.get().edition) == ({"NOVA"}, 2)
    assert Upload.objects.get(name="ORM.zip", edition_checked=2).state == "checked"
    assert left_in_queue() == []


@pytest.mark.parametrize("turn", range(3))
def test_both_at_the_same_moment(turn: int, checks: list[str]):
    """Two workers, each with a connection of its own, as on two machines."""
    together = threading.Barrier(2)

    def load(check: str) -> None:
        together.wait(30)
        upload_load_ask(upload_id=key_of(check))
        upload_load(upload_id=key_of(check))
        connection.close()

    threads = [threading.Thread(target=load, args=(check,)) for check in checks]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    states = {key_of(check): Upload.objects.get(pk=key_of(check)).state for check in checks}
    assert sorted(states.values()) == ["loaded", "moved"]
    assert len(makers()) == 1
    assert list(Edition.objects.order_by("number").values_list("number", flat=True)) == [1, 2]
    (fresh,) = Upload.objects.exclude(pk__in=states)
    assert fresh.state == "waiting"
    assert makers() != {fresh.name.removesuffix(".zip")}


def test_one_load_asked_for_by_both_at_the_same_moment(checks: list[str]):
    together, said = threading.Barrier(2), []

    def ask() -> None:
        together.wait(30)
        try:
            said.append(upload_load_ask(upload_id=key_of(checks[0])).fresh)
        except Exception as error:
            said.append(type(error).__name__)
        connection.close()

    threads = [threading.Thread(target=ask) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert sorted(said, key=str) == [None, "NotChecked"]
