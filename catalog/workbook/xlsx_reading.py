"""Spreadsheets: looked through for what may not be in them, then read by calamine.

Calamine is fast but shows neither formulas nor number formats; a pass of expat over the sheets finds formulas,
errors, the formats of dates, and how far the cells reach, before calamine makes room for them.
"""

import io
import re
import zipfile
from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from xml.parsers import expat

from defusedxml import ElementTree
from defusedxml.common import DefusedXmlException
from python_calamine import CalamineError, CalamineWorkbook

from catalog.workbook.cells import BadValue, Cell, DateCell, RawSheet, column_letters, figure_text
from catalog.workbook.errors import RowErrors
from catalog.workbook.xlsx_scan import DAY, MONTH, YEAR, Scan, date_styles, scan_sheet

WORKBOOK, RELATIONS, STYLES = "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml"
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_STRICT_RELATION = "{http://purl.oclc.org/ooxml/officeDocument/relationships}id"
_MACRO = re.compile(r"vbaproject|macrosheets/|dialogsheets/|\.bin$", re.IGNORECASE)
_OUTSIDE = re.compile(r"externallinks/|connections\.xml$|querytables/|embeddings/|activex/", re.IGNORECASE)
_HARMLESS_BIN = re.compile(r"printersettings/", re.IGNORECASE)
_DAMAGE = (CalamineError, KeyError, ElementTree.ParseError, expat.ExpatError, DefusedXmlException, ValueError)


def is_spreadsheet(members: dict[str, bytes]) -> bool:
    return "[Content_Types].xml" in members


def spreadsheet_sheets(members: dict[str, bytes], *, name: str, errors: RowErrors) -> Iterator[RawSheet]:
    """The sheets of a spreadsheet; Raises Refused for macros, external links, XML entities and damage."""
    _refuse_by_name(members, name, errors)
    _refuse_entities(members, name, errors)
    errors.refuse()
    try:
        parts = _sheet_parts(members)
        styles = date_styles(members.get(STYLES))
        # Only what has been counted and looked at is given on.
        book = CalamineWorkbook.from_object(_packed(members))
        for sheet, part in parts.items():
            scan = scan_sheet(members[part], styles)
            if scan.too_far:
                wrong = f"the cells reach to {scan.too_far}, far beyond a table"
                errors.add(wrong, "clear the one that stands alone", sheet=sheet)
                continue
            yield _sheet(sheet, book.get_sheet_by_name(sheet).to_python(skip_empty_area=False), scan)
    except _DAMAGE as error:
        errors.fail(f"'{name}' is no spreadsheet that can be read ({error})", "save it again as .xlsx")


def _refuse_by_name(members: dict[str, bytes], name: str, errors: RowErrors) -> None:
    for member, data in members.items():
        if _MACRO.search(member) and not _HARMLESS_BIN.search(member):
            errors.add(f"'{name}' holds a macro ('{member}')", "save it as .xlsx without macros")
        if _OUTSIDE.search(member):
            errors.add(f"'{name}' holds an external link ('{member}')", "save it with values alone")
        if member.lower().endswith(".rels") and (target := _outside_target(data)):
            wrong = f"'{name}' holds an external link ('{target}' in '{member}')"
            errors.add(wrong, "save it with values alone")
    if b"macroEnabled" in members.get("[Content_Types].xml", b""):
        errors.add(f"'{name}' is a workbook with macros", "save it as .xlsx without macros")
    if WORKBOOK not in members:
        errors.add(f"'{name}' is no spreadsheet", "save it as .xlsx")


def _outside_target(data: bytes) -> str | None:
    """Where a relation leads outside the file; addresses in a cell (hyperlinks) are only text."""
    try:
        relations = ElementTree.fromstring(data)
    except (ElementTree.ParseError, DefusedXmlException):
        return None  # the pass over all XML says it better
    for relation in relations:
        if relation.get("TargetMode") == "External" and not relation.get("Type", "").endswith("/hyperlink"):
            return str(relation.get("Target", ""))
    return None


def _refuse_entities(members: dict[str, bytes], name: str, errors: RowErrors) -> None:
    for member, data in members.items():
        if not member.lower().endswith((".xml", ".rels", ".vml")):
            continue
        parser = expat.ParserCreate()

        def declared(*_: object, member: str = member) -> None:
            errors.add(f"'{member}' in '{name}' declares XML entities", "save it again as .xlsx")
            raise _Declared

        parser.StartDoctypeDeclHandler = declared
        try:
            parser.Parse(data, True)
        except _Declared:
            continue
        except expat.ExpatError as error:
            errors.add(f"'{member}' in '{name}' is damaged or cut short ({error})", "save it again")


class _Declared(Exception):
    """A document type declaration was met."""


def _sheet_parts(members: dict[str, bytes]) -> dict[str, str]:
    """Sheet name -> member, in the order of the tabs."""
    targets = {item.get("Id"): item.get("Target", "") for item in ElementTree.fromstring(members[RELATIONS])}
    parts = {}
    for sheet in ElementTree.fromstring(members[WORKBOOK]).iterfind(".//{*}sheets/{*}sheet"):
        target = targets[sheet.get(_RELATION) or sheet.get(_STRICT_RELATION)]
        parts[sheet.get("name", "")] = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
    return parts


def _packed(members: dict[str, bytes]) -> io.BytesIO:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        for member, data in members.items():
            archive.writestr(member, data)
    packed.seek(0)
    return packed


def _sheet(name: str, cells: Sequence[Sequence[object]], scan: Scan) -> RawSheet:
    first = cells[0] if cells else ()
    heads = [str(_cell(value, 0, at, scan)) if value != "" else "" for at, value in enumerate(first)]
    return RawSheet(name, heads, _rows(cells, scan))


def _rows(cells: Sequence[Sequence[object]], scan: Scan) -> Iterator[tuple[int, list[Cell]]]:
    for at, row in enumerate(cells[1:], start=1):
        out: list[Cell] = [
            value if type(value) is str else _cell(value, at, column, scan) for column, value in enumerate(row)
        ]
        for column, bad in scan.bad.get(at, {}).items():
            out.extend([""] * (column + 1 - len(out)))
            out[column] = bad
        yield at + 1, out


def _cell(value: object, row: int, column: int, scan: Scan) -> Cell:
    if isinstance(value, str | bool):
        return value
    if isinstance(value, int | float):
        text = figure_text(value)
        if len(text.lstrip("-").replace(".", "").lstrip("0")) > 15:
            return BadValue(f"the number {text} has more digits than a spreadsheet keeps", "format the cell as text")
        return text
    if isinstance(value, datetime | date):
        return _date_cell(value, scan.precision.get((row, column), DAY))
    if isinstance(value, time | timedelta):
        return BadValue(f"a time of day stands in {column_letters(column)}{row + 1}", "write a date or a text")
    return BadValue(f"the cell holds '{value}'", "write a text, a number or a date")


def _date_cell(value: date, precision: str) -> Cell:
    if isinstance(value, datetime):
        if value.time() != time():
            return BadValue(f"the date {value} has a time of day", "write the day alone")
        value = value.date()
    if precision == YEAR:
        return DateCell(f"{value.year:04d}")
    return DateCell(f"{value.year:04d}-{value.month:02d}" if precision == MONTH else value.isoformat())
