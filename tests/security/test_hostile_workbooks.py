"""Hostile workbooks, handed in on the page and by API: each is refused by the worker, by name and in words.

The limits are the real ones. How each kind is told from a good file is tested where workbooks are read.
"""

import io
import zipfile
from collections.abc import Callable
from uuid import UUID

import pytest
import xlsxwriter
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.html import escape

from catalog.codes import Role
from catalog.models import Catalogue, Edition, Maker, Upload
from catalog.workbook.cells import MOST_BYTES, MOST_INFLATED, MOST_MEMBERS, MOST_ROWS
from fitment.services.catalogue.uploads import upload_check

pytestmark = pytest.mark.django_db
CHECKS = "/api/v1/catalogue/checks/"
MAKERS = b"maker,title\nALVA,Alva\n"
SHEET = "xl/worksheets/sheet1.xml"
LAUGHS = (
    b'<!DOCTYPE x [<!ENTITY a "hahahahaha">'
    + b"".join(b'<!ENTITY %c "%s">' % (98 + at, b"&%c;" % (97 + at) * 10) for at in range(9))
    + b"]>"
)
FOREIGN = b'<!DOCTYPE x [<!ENTITY x SYSTEM "file:///etc/passwd">]>'


def zipped(members: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", method) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return file.getvalue()


def spreadsheet(change: Callable[[dict[str, bytes]], object]) -> bytes:
    """A spreadsheet that is in order, with its members changed."""
    file = io.BytesIO()
    with xlsxwriter.Workbook(file) as book:
        sheet = book.add_worksheet("makers")
        for row, cells in enumerate((("maker", "title"), ("ALVA", "Alva"))):
            sheet.write_row(row, 0, cells)
    with zipfile.ZipFile(file) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    change(members)
    return zipped(members)


def with_entities(member: str, entities: bytes) -> bytes:
    def change(members: dict[str, bytes]) -> None:
        head, _, body = members[member].partition(b"?>")
        members[member] = head + b"?>" + entities + body

    return spreadsheet(change)


def sheet_of_another_name(members: dict[str, bytes]) -> None:
    """The sheet goes by a name that does not end as XML does."""
    relations = "xl/_rels/workbook.xml.rels"
    members[relations] = members[relations].replace(b"worksheets/sheet1.xml", b"worksheets/sheet1.dat")
    kinds = "[Content_Types].xml"
    members[kinds] = members[kinds].replace(b"/xl/worksheets/sheet1.xml", b"/xl/worksheets/sheet1.dat")
    head, _, body = members.pop(SHEET).partition(b"?>")
    members["xl/worksheets/sheet1.dat"] = head + b"?>" + LAUGHS + body


def with_macros(members: dict[str, bytes]) -> None:
    """As a spreadsheet program writes an .xlsm."""
    kinds = members["[Content_Types].xml"]
    plain = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
    assert plain in kinds
    kinds = kinds.replace(plain, b"application/vnd.ms-excel.sheet.macroEnabled.main+xml")
    default = b'<Default Extension="bin" ContentType="application/vnd.ms-office.vbaProject"/>'
    members["[Content_Types].xml"] = kinds.replace(b"<Default", default + b"<Default", 1)
    members["xl/vbaProject.bin"] = b"\xcc\x61\xff\xff" + bytes(60)


def with_relation(kind: bytes, target: bytes) -> Callable[[dict[str, bytes]], None]:
    def change(members: dict[str, bytes]) -> None:
        name = "xl/_rels/workbook.xml.rels"
        link = b'<Relationship Id="rId99" TargetMode="External" Type="http://x/%s" Target="%s"/>' % (kind, target)
        members[name] = members[name].replace(b"</Relationships>", link + b"</Relationships>")

    return change


def damaged(data: bytes) -> bytes:
    spoilt = bytearray(data)
    spoilt[60] ^= 0xFF
    return bytes(spoilt)


FILES: dict[str, tuple[str, Callable[[], bytes], str]] = {
    "too many members": (
        "many.zip",
        lambda: zipped({f"f{at}.txt": b"" for at in range(MOST_MEMBERS)} | {"makers.csv": MAKERS}),
        "'many.zip' holds 301 files; at most 300 are taken",
    ),
    "a bomb of a sheet": (
        "bomb.zip", lambda: zipped({"makers.csv": bytes(MOST_INFLATED + 1)}),
        "'bomb.zip' inflates to more than 250 MB; send less at once",
    ),
    "a bomb of many members": (
        "bomb.zip", lambda: zipped({f"f{at}.txt": bytes(MOST_INFLATED // 200) for at in range(201)}),
        "'bomb.zip' inflates to more than 250 MB",
    ),
    "a bomb of a spreadsheet": (
        "bomb.xlsx", lambda: spreadsheet(lambda members: members.update({SHEET: bytes(MOST_INFLATED + 1)})),
        "'bomb.xlsx' inflates to more than 250 MB",
    ),
    "a bomb of empty rows": (
        "rows.zip", lambda: zipped({"makers.csv": MAKERS + b"\n" * 2_000_001}),
        "the file goes on past row 2,000,000; take the empty rows out",
    ),
    "a bomb of XML in a sheet": (
        "xml.xlsx", lambda: with_entities(SHEET, LAUGHS), f"'{SHEET}' in 'xml.xlsx' declares XML entities",
    ),
    "a bomb of XML in the texts": (
        "xml.xlsx", lambda: with_entities("xl/sharedStrings.xml", LAUGHS),
        "'xl/sharedStrings.xml' in 'xml.xlsx' declares XML entities",
    ),
    "a bomb of XML in the relations": (
        "xml.xlsx", lambda: with_entities("xl/_rels/workbook.xml.rels", LAUGHS),
        "'xl/_rels/workbook.xml.rels' in 'xml.xlsx' declares XML entities",
    ),
    "a bomb of XML under another name": (
        "xml.xlsx", lambda: spreadsheet(sheet_of_another_name), "the sheet declares XML entities",
    ),
    "XML that reads a file": (
        "xml.xlsx", lambda: with_entities(SHEET, FOREIGN), f"'{SHEET}' in 'xml.xlsx' declares XML entities",
    ),
    "a path out of a zip": (
        "path.zip", lambda: zipped({"../../makers.csv": MAKERS}),
        "the file '../../makers.csv' in 'path.zip' has a path that leads elsewhere",
    ),
    "a path from the root": (
        "path.zip", lambda: zipped({"/etc/makers.csv": MAKERS}),
        "the file '/etc/makers.csv' in 'path.zip' has a path that leads elsewhere",
    ),
    "a path in a spreadsheet": (
        "path.xlsx", lambda: spreadsheet(lambda members: members.update({"xl/../../evil.xml": b"<x/>"})),
        "the file 'xl/../../evil.xml' in 'path.xlsx' has a path that leads elsewhere",
    ),
    "a folder in a zip": (
        "path.zip", lambda: zipped({"sheets/makers.csv": MAKERS}),
        "the file 'sheets/makers.csv' in 'path.zip' has a path",
    ),
    "macros": (
        "macros.xlsm", lambda: spreadsheet(with_macros),
        "'macros.xlsm' holds a macro ('xl/vbaProject.bin'); save it as .xlsx without macros",
    ),
    "macros under an innocent name": (
        "book.xlsx", lambda: spreadsheet(lambda members: members.update({"xl/VBAProject.BIN": b"x"})),
        "'book.xlsx' holds a macro ('xl/VBAProject.BIN')",
    ),
    "a sheet of macros": (
        "book.xlsx", lambda: spreadsheet(lambda members: members.update({"xl/macrosheets/sheet1.xml": b"<x/>"})),
        "'book.xlsx' holds a macro ('xl/macrosheets/sheet1.xml')",
    ),
    "a link to another workbook": (
        "link.xlsx",
        lambda: spreadsheet(lambda members: members.update({"xl/externalLinks/externalLink1.xml": b"<x/>"})),
        "'link.xlsx' holds an external link ('xl/externalLinks/externalLink1.xml'); save it with values alone",
    ),
    "a relation that leads outside": (
        "link.xlsx", lambda: spreadsheet(with_relation(b"externalLinkPath", b"file:///etc/passwd")),
        "'link.xlsx' holds an external link ('file:///etc/passwd' in 'xl/_rels/workbook.xml.rels')",
    ),
    "a connection to data": (
        "link.xlsx", lambda: spreadsheet(lambda members: members.update({"xl/connections.xml": b"<x/>"})),
        "'link.xlsx' holds an external link ('xl/connections.xml')",
    ),
    "a formula": (
        "formula.zip", lambda: zipped({"makers.csv": b"maker,title\nALVA,=cmd|'/c calc'!A1\n"}),
        "starts with '='",
    ),
    "damage in a rare compression": (
        "rare.zip", lambda: damaged(zipped({"makers.csv": MAKERS * 1000}, zipfile.ZIP_LZMA)),
        "'rare.zip' is damaged or cut short",
    ),
}  # fmt: skip


@pytest.fixture
def editor(client, account):
    client.force_login(account("erik", Role.EDITOR), backend="django.contrib.auth.backends.ModelBackend")
    return client


def on_the_page(editor, name: str, content: bytes) -> UUID:
    answer = editor.post("/catalogue/", {"file": SimpleUploadedFile(name, content)})
    assert answer.status_code == 303, answer.content.decode()
    return UUID(answer["Location"].rstrip("/").split("/")[-1])


def by_api(editor, name: str, content: bytes) -> UUID:
    answer = editor.post(CHECKS, {"file": SimpleUploadedFile(name, content)})
    assert answer.status_code == 202, answer.content.decode()
    return UUID(answer.json()["id"])


def expect_refusal(editor, upload: UUID, wanted: str) -> None:
    """Looked at on the page and by API, whichever way the file came."""
    upload_check(upload_id=upload)
    body = editor.get(f"{CHECKS}{upload}/").json()
    assert (body["state"], body["load_href"]) == ("refused", None)
    said = [f"{fault['wrong']}; {fault['right']}" for fault in body["report"]["errors"]]
    assert any(wanted in line for line in said), said
    page = editor.get(f"/catalogue/check/{upload}/").content.decode().lower()  # a sentence begins with a capital there
    wrong, _, right = wanted.lower().partition("; ")
    assert escape(wrong) in page
    assert escape(right) in page
    assert "nothing was stored" in page
    assert not Catalogue.objects.filter(edition__gt=0).exists()
    assert not Edition.objects.exists()
    assert not Maker.objects.exists()


@pytest.mark.parametrize("hand_in", [on_the_page, by_api])
@pytest.mark.parametrize("kind", FILES)
def test_refused_by_name(kind: str, hand_in, editor):
    name, make, wanted = FILES[kind]
    content = make()
    assert len(content) <= MOST_BYTES
    expect_refusal(editor, hand_in(editor, name, content), wanted)


def test_a_million_rows_and_one(editor):
    rows = b"maker\n" + b"".join(b"M%d\n" % at for at in range(MOST_ROWS + 1))
    upload = by_api(editor, "rows.zip", zipped({"makers.csv": rows}))
    expect_refusal(editor, upload, "the workbook has more than 1,000,000 rows; send less at once")


@pytest.mark.parametrize("path", ["/catalogue/", CHECKS])
@pytest.mark.parametrize("over", [1, 1_000_000])
def test_a_byte_more_than_25_mb(path: str, over: int, editor):
    answer = editor.post(path, {"file": SimpleUploadedFile("large.zip", b"PK" + bytes(MOST_BYTES - 2 + over))})
    assert answer.status_code == 413
    assert "The file is larger than 25 MB." in answer.content.decode()
    assert not Upload.objects.exists()


def test_25_mb_are_taken(editor):
    """A zip of that many bytes is looked at, and what it holds is loaded."""
    rows = b"".join(b"M%d,Maker %d\n" % (at, at) for at in range(50))
    room = MOST_BYTES - len(zipped({"makers.csv": MAKERS + rows, "note.txt": b""}, zipfile.ZIP_STORED))
    content = zipped({"makers.csv": MAKERS + rows, "note.txt": bytes(room)}, zipfile.ZIP_STORED)
    assert len(content) == MOST_BYTES
    upload = by_api(editor, "large.zip", content)
    upload_check(upload_id=upload)
    assert editor.get(f"{CHECKS}{upload}/").json()["report"]["counts"]["makers"]["added"] == 51


@pytest.mark.parametrize(
    ("content", "wanted"),
    [
        (b"", "is empty"),
        (b"maker,title\nALVA,Alva\n", "neither a spreadsheet nor a zip"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512), "is an old or encrypted spreadsheet"),
    ],
)
def test_what_is_no_workbook_is_said_at_once_on_the_page(content: bytes, wanted: str, editor):
    answer = editor.post("/catalogue/", {"file": SimpleUploadedFile("book.xlsx", content)})
    assert answer.status_code == 422
    assert wanted in answer.content.decode()
    assert not Upload.objects.exists()
