"""Workbooks from strangers. What a workbook may hold is tested where it is read; these are the attacks."""

import io
import zipfile

import pytest
import xlsxwriter
from django.core.files.uploadedfile import SimpleUploadedFile

from catalog.codes import Role
from catalog.models import Maker
from catalog.workbook import reading
from catalog.workbook.reading import Source
from fitment.services.catalogue.loading import catalogue_load

pytestmark = pytest.mark.django_db


def workbook():
    """A spreadsheet with one sheet that is in order."""
    file = io.BytesIO()
    with xlsxwriter.Workbook(file) as book:
        sheet = book.add_worksheet("makers")
        for row, cells in enumerate((("maker", "title"), ("ALVA", "Alva"))):
            sheet.write_row(row, 0, cells)
    return file.getvalue()


def rewritten(data, change):
    """The archive with each member passed through `change(name, content)`."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
    return file.getvalue()


def refusal(name, data):
    report = catalogue_load(source=Source(name, data=data), check=True)
    assert report.refused
    return "\n".join(report.lines(most=40))


ENTITIES = b"""<!DOCTYPE worksheet [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY x SYSTEM "file:///etc/passwd">]>"""


@pytest.mark.parametrize(
    "part", ["xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/workbook.xml", "xl/styles.xml"]
)
def test_a_workbook_with_entities_is_refused(part):
    def add(name, content):
        if name != part:
            return content
        head, _, body = content.partition(b"?>")
        return head + b"?>" + ENTITIES + body

    said = refusal("x.xlsx", rewritten(workbook(), add))
    assert "root:" not in said


@pytest.mark.parametrize(
    "name", ["../makers.csv", "/etc/makers.csv", "a/../../makers.csv", "..\\makers.csv", "C:makers.csv"]
)
def test_a_name_that_climbs_out_of_the_folder_leads_nowhere(name):
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr(name, "maker,title\nALVA,Alva\n")
    assert "a path that leads elsewhere" in refusal("x.zip", file.getvalue())


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("x.xlsx", b""),
        ("x.xlsx", b"maker,title\nALVA,Alva\n"),
        ("x.xlsx", b"%PDF-1.7"),
        ("x.xlsx", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512)),
        ("x.xlsx", workbook()[:-200]),
        ("x.zip", b"PK\x03\x04" + bytes(100)),
    ],
    ids=["empty", "text", "pdf", "old office", "truncated", "no zip"],  # the bytes carry the time of the day
)
def test_an_upload_is_bounded_and_is_what_its_name_says(name, data, monkeypatch):
    assert refusal(name, data)
    monkeypatch.setattr(reading, "MOST_BYTES", 1000)
    assert "at most" in refusal("x.xlsx", workbook())
    monkeypatch.setattr(reading, "MOST_BYTES", 1_000_000)
    monkeypatch.setattr(reading, "MOST_INFLATED", 2000)
    assert "inflates to more than" in refusal("x.xlsx", workbook())


def test_a_load_takes_a_checked_file_alone(client, account):
    """No worker runs here, so what is handed in stays unchecked; and nobody loads what was never handed in."""
    client.force_login(account("erik", Role.EDITOR), backend="django.contrib.auth.backends.ModelBackend")
    file = SimpleUploadedFile("x.xlsx", workbook())
    check = client.post("/api/v1/catalogue/checks/", {"file": file}).json()
    assert check["state"] == "waiting"
    assert client.post(f"{check['href']}load/").status_code == 409
    for key in ("0", "00000000-0000-0000-0000-000000000000", "..%2f..%2fetc%2fpasswd"):
        assert client.post(f"/api/v1/catalogue/checks/{key}/load/").status_code == 404
    assert not Maker.objects.exists()
