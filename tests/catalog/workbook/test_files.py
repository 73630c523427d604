"""Files as people and strangers send them: heads, encodings, archives, spreadsheets; nothing is ever half read."""

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path

import openpyxl
import pytest

from catalog.workbook import cells
from catalog.workbook.dumping import csv_files, zipped
from catalog.workbook.errors import RowErrors
from catalog.workbook.reading import Source, raw_sheets
from catalog.workbook.report import Report
from fitment.services.catalogue.loading import catalogue_load
from fitment.sheets import SHEETS
from tests.catalog.workbook.small import small, write

pytestmark = pytest.mark.django_db
MAKERS = "maker,title,wmi\nALVA,Alva,XA1\n"


def give(data: bytes, name: str = "file") -> Report:
    return catalogue_load(source=Source(name, data=data), actor_name="test", check=True)


def lines(report: Report) -> str:
    assert report.refused, report.lines()
    return "\n".join(map(str, report.errors))


def zip_of(files: dict[str, bytes]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return packed.getvalue()


def csv(name: str, text: str | bytes) -> bytes:
    return zip_of({f"{name}.csv": text.encode() if isinstance(text, str) else text})


class TestHeads:
    @pytest.mark.parametrize(
        ("name", "text", "wanted"),
        [
            ("makres", MAKERS, "makres: there is no sheet 'makres' (nearest: makers)"),
            ("Makers", MAKERS, "(nearest: makers)"),
            (
                "makers",
                "maker,titel,wmi\nALVA,Alva,\n",
                "makers, row 1, column titel: there is no column 'titel' (nearest: title)",
            ),
            (
                "makers",
                "maker,title,title\nALVA,Alva,\n",
                "makers, row 1, column title: the column 'title' comes twice",
            ),
            ("makers", "title,wmi\nAlva,\n", "makers, row 1, column maker: the column 'maker' is missing"),
            ("makers", "", "makers, row 1, column maker"),
            ("makers", "maker;title\nALVA;Alva\n", "makers, row 1: the columns are not separated by commas"),
            ("makers", "maker,title,\nALVA,Alva,x\n", "makers, row 2, column C: a cell stands under no head"),
        ],
    )
    def test_heads_that_are_not_known(self, name: str, text: str, wanted: str):
        assert wanted in lines(give(csv(name, text)))

    def test_an_empty_head_over_empty_cells_is_nothing(self):
        assert not give(csv("makers", "maker,title,\nALVA,Alva,\n")).refused


class TestCsv:
    @pytest.mark.parametrize(
        ("text", "wanted"),
        [
            ("maker,title\nALVA,Alva,more\n", "makers, row 2: the row has 3 cells, the heads are 2"),
            ("maker,title\nALVA,Alva\nORM\n", "makers, row 3: the row has 1 cells, the heads are 2"),
            ('maker,title\nALVA,"Alva\n', "makers, row 2: the row cannot be read"),
            ('maker,title\nALVA,"Al"va\n', "makers, row 2: the row cannot be read"),
            ("maker,title\nALVA,Al\0va\n", "makers, row 2"),
            ("maker,title\nALVA,Al\x1bva\n", "makers, row 2, column title: it holds the control sign U+001B"),
            ("maker,title\nALVA,Alva\nORM,Örm\n".encode("latin-1"), "makers, row 3: the byte 0xd6 is not UTF-8"),
            (MAKERS.encode("utf-16"), "makers: the file is UTF-16"),
        ],
    )
    def test_what_is_no_csv_of_ours(self, text: str | bytes, wanted: str):
        assert wanted in lines(give(csv("makers", text)))

    @pytest.mark.parametrize(
        "text",
        [
            b"\xef\xbb\xbf" + MAKERS.encode(),
            MAKERS.replace("\n", "\r\n").encode(),
            MAKERS.encode().rstrip(),
            MAKERS.encode() + b"\n\n,,\n",
        ],
    )
    def test_a_mark_other_line_ends_and_blank_rows_are_taken(self, text: bytes):
        report = give(csv("makers", text))
        assert not report.refused, report.lines()
        assert report.counts["makers"]["added"] == 1

    def test_rows_are_numbered_as_a_spreadsheet_counts(self):
        text = 'maker,title\n\nALVA,"two\nlines"\nORM,\n'
        assert "makers, row 4, column title" in lines(give(csv("makers", text)))

    def test_line_breaks_in_texts_stay(self, load, dumped):
        sheets = small()
        sheets["hazards"][0]["caution"] = "one\r\ntwo\nthree"
        load(sheets)
        assert dumped()["hazards"][0]["caution"] == "one\ntwo\nthree"

    def test_other_files_of_a_folder_are_passed_over_with_a_note(self, tmp_path: Path):
        folder = write(tmp_path, {"makers": small()["makers"]})
        (folder / "README.md").write_text("words")
        (folder / ".hidden.csv").write_text("words")
        report = catalogue_load(source=Source.of_path(folder), check=True)
        assert not report.refused
        assert any("README.md" in note for note in report.notes)

    def test_an_empty_folder_is_refused(self, tmp_path: Path):
        report = catalogue_load(source=Source.of_path(tmp_path), check=True)
        assert "holds no .csv file" in lines(report)


class TestArchives:
    @pytest.mark.parametrize(
        "data", [b"", b"words", b"PK", b"PK\x03\x04" + bytes(40), b"\xd0\xcf\x11\xe0" + bytes(600), zip_of({})]
    )
    def test_what_is_no_workbook(self, data: bytes):
        assert lines(give(data))

    @pytest.mark.parametrize("keep", [10, 200, 0.5, -30])
    @pytest.mark.parametrize("make", ["csv", "xlsx"])
    def test_a_file_cut_short(self, keep: float, make: str):
        whole = zipped(csv_files(SHEETS)) if make == "csv" else book(makers=[["maker", "title"], ["ALVA", "Alva"]])
        cut = whole[: int(len(whole) * keep) if isinstance(keep, float) else keep]
        assert "damaged or cut short" in lines(give(cut))

    def test_damaged_contents(self):
        whole = bytearray(csv("makers", MAKERS + "".join(f"M{n},Maker {n},\n" for n in range(500))))
        whole[80] ^= 0xFF
        assert "damaged or cut short" in lines(give(bytes(whole)))

    @pytest.mark.parametrize(
        "name", ["../makers.csv", "/makers.csv", "..\\makers.csv", "C:makers.csv", "a/makers.csv", "a/../../makers.csv"]
    )
    def test_path_names_are_refused_by_name(self, name: str):
        assert name in lines(give(zip_of({name: MAKERS.encode()})))

    def test_a_name_twice(self):
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as archive:
            archive.writestr("makers.csv", MAKERS)
            archive.writestr("makert.csv", MAKERS)
        assert "twice" in lines(give(packed.getvalue().replace(b"makert", b"makers")))

    def test_more_bytes_than_are_taken(self):
        assert "at most 25 MB" in lines(give(b"PK" + bytes(cells.MOST_BYTES)))

    def test_more_files_than_are_taken(self):
        assert "at most 300" in lines(
            give(zip_of({f"f{n}.txt": b"" for n in range(301)} | {"makers.csv": MAKERS.encode()}))
        )

    def test_a_bomb_is_stopped_while_it_inflates(self):
        bomb = zip_of({"makers.csv": bytes(cells.MOST_INFLATED + 1)})
        assert len(bomb) < cells.MOST_BYTES
        assert "inflates to more than 250 MB" in lines(give(bomb))

    def test_what_an_archive_claims_of_itself_is_not_believed(self):
        """The size in the headers says 10 bytes; what inflates is counted all the same."""
        data = bytes(cells.MOST_INFLATED + 1)
        bomb = bytearray(zip_of({"makers.csv": data}))
        size = len(data).to_bytes(4, "little")
        at = bomb.find(size)
        while at != -1:
            bomb[at : at + 4] = (10).to_bytes(4, "little")
            at = bomb.find(size, at)
        assert lines(give(bytes(bomb)))

    def test_an_encrypted_file(self):
        data = bytearray(csv("makers", MAKERS))
        for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
            data[data.find(mark) + flags] |= 1
        assert "encrypted" in lines(give(bytes(data)))

    def test_more_rows_than_are_taken(self, monkeypatch):
        monkeypatch.setattr("catalog.workbook.rows.MOST_ROWS", 4)
        files = {"makers.csv": MAKERS.encode(), "hazards.csv": b"hazard,title,caution\n" + b"a,b,c\nd,e,f\n" * 2}
        assert "more than 4 rows" in lines(give(zip_of(files)))


def book(**sheets: list[list[object]]) -> bytes:
    """A spreadsheet with these cells."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        page = made.create_sheet(name)
        for row in rows:
            page.append(row)
    return saved(made)


def saved(made: openpyxl.Workbook) -> bytes:
    file = io.BytesIO()
    made.save(file)
    return file.getvalue()


def changed(data: bytes, change: Callable[[dict[str, bytes]], None]) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    change(members)
    return zip_of(members)


def texts(data: bytes, sheet: str, at: int = 0) -> dict[str, object]:
    """The cells of a row of a sheet, by head."""
    faults = RowErrors()
    for raw in raw_sheets(Source("book", data=data), faults, []):
        if raw.name == sheet:
            return dict(zip(raw.heads, list(raw.rows)[at][1], strict=False))
    raise AssertionError(list(faults))


SIMPLE = book(makers=[["maker", "title", "wmi"], ["ALVA", "Alva", "XA1"]])


class TestSpreadsheets:
    def test_a_simple_one(self):
        report = give(SIMPLE)
        assert not report.refused, report.lines()

    def test_whole_numbers_in_text_cells_are_their_digits(self, loaded, dumped, tmp_path: Path):
        heads = list(small()["holds"][0])
        path = tmp_path / "book.xlsx"
        path.write_bytes(book(holds=[heads, ["LM-1", "B", 2209, 2213.0, "soft", "play", date(2023, 1, 15), None]]))
        report = loaded(path)
        assert not report.refused, report.lines()
        assert dumped()["holds"][0] == small()["holds"][0] | {"batch_to": "2213"}

    def test_figures_are_read_to_what_a_spreadsheet_shows(self):
        got = texts(book(x=[["a", "b", "c", "d"], [0.1 + 0.2, 1e-6, 12345678.5, 62.123]]), "x")
        assert got == {"a": "0.3", "b": "0.000001", "c": "12345678.5", "d": "62.123"}

    def test_dates_with_the_precision_that_is_shown(self):
        made = openpyxl.Workbook()
        page = made.active
        page.title = "x"
        page.append([f"h{n}" for n in range(6)])
        for column, shown in enumerate(
            ("mmm-yy", "yyyy-mm", "yyyy", "yyyy-mm-dd", '[$-409]mmmm\\ "of" yyyy', "dd.mm.yy"), 1
        ):
            page.cell(2, column, datetime(2016, 2, 29)).number_format = shown
        got = list(texts(saved(made), "x").values())
        assert got == ["2016-02", "2016-02", "2016", "2016-02-29", "2016-02", "2016-02-29"]

    def test_a_month_cell_closes_a_window_on_its_last_day(self, loaded, dumped, tmp_path: Path):
        made = openpyxl.Workbook()
        page = made.active
        page.title = "platforms"
        page.append(["maker", "chassis", "built_from", "built_to"])
        page.append(["ALVA", "QN3", 2005, datetime(2012, 2, 1)])
        page.cell(2, 4).number_format = "mmm yyyy"
        path = tmp_path / "book.xlsx"
        path.write_bytes(saved(made))
        assert not loaded(path).refused
        assert dumped()["platforms"][0] == small()["platforms"][0] | {"built_to": "2012-02"}

    def test_a_month_cell_is_no_full_day(self):
        made = openpyxl.Workbook()
        page = made.active
        page.title = "supersessions"
        page.append(["issuer", "old", "new", "exchange", "since"])
        page.append(["Alva", "1", "2", "one_way", datetime(2016, 3, 1)])
        page.cell(2, 5).number_format = "mmm-yy"
        assert "supersessions, row 2, column since: '2016-03' is not a full day" in lines(give(saved(made)))

    @pytest.mark.parametrize(
        ("cell", "wanted"),
        [
            ("=1+1", "the cell holds a formula"),
            ("#REF!", "spreadsheet's error"),
            (datetime(2016, 2, 1), "the cell holds a date"),
            (time(12, 30), "time of day"),
            (12345678901234567, "more digits"),
            ("@SUM", "starts with '@'"),
        ],
    )
    def test_cells_that_say_nothing_usable(self, cell: object, wanted: str):
        data = book(makers=[["maker", "title"], ["ALVA", "Alva"], ["ORM", cell]])
        (line,) = lines(give(data)).splitlines()
        assert line.startswith("makers, row 3, column title: ")
        assert wanted in line

    def test_a_formula_with_a_kept_value_is_refused(self):
        def put(members: dict[str, bytes]) -> None:
            name = "xl/worksheets/sheet1.xml"
            members[name] = members[name].replace(
                b"</sheetData>", b'<row r="3"><c r="A3" t="str"><f>"OR"&amp;"M"</f><v>ORM</v></c></row></sheetData>'
            )

        assert "makers, row 3, column maker: the cell holds a formula" in lines(give(changed(SIMPLE, put)))

    def test_booleans_are_yes_and_no(self, loaded, dumped, tmp_path: Path):
        path = tmp_path / "book.xlsx"
        path.write_bytes(book(options=[["option", "required", "title"], ["TOW", False, "Bar"]]))
        assert not loaded(path).refused
        assert dumped()["options"][2]["required"] == "no"

    def test_rows_past_a_gap_keep_their_numbers(self):
        data = book(makers=[["maker", "title"], [], [], ["ALVA", None]])
        assert "makers, row 4, column title" in lines(give(data))

    def test_another_sheet_is_refused(self):
        data = book(makers=[["maker", "title"]], Sheet1=[["x"]])
        assert "there is no sheet 'Sheet1'" in lines(give(data))

    @pytest.mark.parametrize(
        ("member", "wanted"),
        [
            ("xl/vbaProject.bin", "holds a macro"),
            ("xl/macrosheets/sheet1.xml", "holds a macro"),
            ("xl/externalLinks/externalLink1.xml", "holds an external link"),
            ("xl/connections.xml", "holds an external link"),
            ("xl/embeddings/oleObject1.bin", "holds an external link"),
        ],
    )
    def test_macros_and_links_are_refused_by_name(self, member: str, wanted: str):
        data = changed(SIMPLE, lambda members: members.update({member: b"<x/>"}))
        assert wanted in lines(give(data))
        assert member in lines(give(data))

    def test_relations_that_lead_outside(self):
        def put(members: dict[str, bytes]) -> None:
            name = "xl/_rels/workbook.xml.rels"
            link = b'<Relationship Id="rId99" TargetMode="External" Type="http://x/externalLinkPath" Target="file:///etc/passwd"/>'
            members[name] = members[name].replace(b"</Relationships>", link + b"</Relationships>")

        assert "file:///etc/passwd" in lines(give(changed(SIMPLE, put)))

    def test_a_hyperlink_is_only_text(self):
        made = openpyxl.load_workbook(io.BytesIO(SIMPLE))
        made["makers"]["B2"].hyperlink = "http://example.org/"
        assert not give(saved(made)).refused

    @pytest.mark.parametrize(
        "member", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/styles.xml", "docProps/core.xml"]
    )
    def test_entities_are_refused_before_anything_expands(self, member: str):
        laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'

        def put(members: dict[str, bytes]) -> None:
            body = members[member]
            members[member] = laughs + (body.split(b"?>", 1)[1] if body.startswith(b"<?xml") else body)

        report = give(changed(SIMPLE, put))
        assert "declares XML entities" in lines(report)
        assert member in lines(report)

    def test_broken_xml_is_named(self):
        data = changed(SIMPLE, lambda members: members.update({"xl/worksheets/sheet1.xml": b"<worksheet><sheetData>"}))
        assert "xl/worksheets/sheet1.xml" in lines(give(data))

    def test_a_sheet_that_is_missing(self):
        data = changed(SIMPLE, lambda members: members.pop("xl/worksheets/sheet1.xml"))
        assert "no spreadsheet that can be read" in lines(give(data))

    @pytest.mark.parametrize(
        ("cell", "corner"), [("XFD1048576", "XFD1048576"), ("A1048576", "C1048576"), ("ZZ2", "ZZ2")]
    )
    def test_a_cell_far_away_makes_no_room(self, cell: str, corner: str):
        row = "".join(sign for sign in cell if sign.isdigit())

        def put(members: dict[str, bytes]) -> None:
            name = "xl/worksheets/sheet1.xml"
            far = f'<row r="{row}"><c r="{cell}"><v>1</v></c></row></sheetData>'.encode()
            members[name] = members[name].replace(b"</sheetData>", far)

        assert f"the cells reach to {corner}" in lines(give(changed(SIMPLE, put)))

    def test_macro_books_are_refused_by_their_kind(self):
        def put(members: dict[str, bytes]) -> None:
            kinds = members["[Content_Types].xml"]
            plain = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
            members["[Content_Types].xml"] = kinds.replace(
                plain, b"application/vnd.ms-excel.sheet.macroEnabled.main+xml"
            )

        assert "macros" in lines(give(changed(SIMPLE, put)))

    def test_days_counted_from_1904(self):
        made = openpyxl.Workbook()
        made.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
        page = made.active
        page.title = "x"
        page.append(["a"])
        page.append([datetime(2016, 2, 29)])
        assert texts(saved(made), "x") == {"a": "2016-02-29"}


def test_the_reader_never_writes_outside(tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    give(zip_of({"../evil.csv": MAKERS.encode()}))
    assert list(tmp_path.parent.glob("evil.csv")) == []
    assert list(tmp_path.iterdir()) == []
