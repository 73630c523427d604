"""One pass over the XML of a sheet: formulas, errors, formats of dates (out of the styles), and how far cells reach."""

import re
from dataclasses import dataclass, field
from xml.parsers import expat

from defusedxml import ElementTree

from catalog.workbook.cells import MOST_ROWS, BadValue, column_letters

MOST_COLUMNS = 256
# Room that the reader makes, in cells: a table is dense, so a wide empty room is a trap.
MOST_ROOM = 40_000_000
ROOM_A_CELL = 60
FREE_ROOM = 1_000_000

_SPACES = ("http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main")
_REFERENCE = re.compile(r"([A-Z]{1,3})(\d{1,7})", re.ASCII)
FORMULA = BadValue("the cell holds a formula", "write its value")
ERROR = BadValue("the cell holds a spreadsheet's error", "write a value")
DAY, MONTH, YEAR = "day", "month", "year"
_MONTH_YEAR = 17  # built-in format `mmm-yy` (ECMA-376 part 1, 18.8.30)
_FIRST_CUSTOM = 164
_NOT_DATE = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.')


@dataclass
class Scan:
    """What a sheet holds besides values; rows and columns counted from 0."""

    bad: dict[int, dict[int, BadValue]] = field(default_factory=dict)
    precision: dict[tuple[int, int], str] = field(default_factory=dict)
    last_row: int = -1
    last_column: int = -1
    cells: int = 0
    too_far: str = ""


class _Pass:
    """The handlers of one pass; what they share is kept here."""

    def __init__(self, styles: dict[int, str]) -> None:
        self.styles = {str(style): precision for style, precision in styles.items()}
        self.scan = Scan()
        self.row = -1
        self.column = -1
        self.kinds = {f"{space}}}{name}": name for space in _SPACES for name in ("c", "row", "f")}
        self.columns: dict[str, int] = {}

    def start(self, name: str, attributes: dict[str, str]) -> None:
        kind = self.kinds.get(name)
        if kind == "c":
            self.cell(attributes)
        elif kind == "row":
            self.row = int(attributes["r"]) - 1 if "r" in attributes else self.row + 1
            self.column = -1
        elif kind == "f":
            self.mark(FORMULA)

    def cell(self, attributes: dict[str, str]) -> None:
        reference = attributes.get("r")
        if reference is None:
            self.column += 1
        else:
            found = _REFERENCE.fullmatch(reference)
            if not found:
                raise ValueError(f"'{reference}' names no cell")
            letters = found[1]
            column = self.columns.get(letters)
            if column is None:
                column = self.columns[letters] = column_index(letters)
            self.column, self.row = column, int(found[2]) - 1
        scan = self.scan
        scan.cells += 1
        scan.last_row = max(scan.last_row, self.row)
        scan.last_column = max(scan.last_column, self.column)
        style = attributes.get("s")
        if style in self.styles:
            scan.precision[self.row, self.column] = self.styles[style]
        if attributes.get("t") == "e":
            self.mark(ERROR)

    def mark(self, bad: BadValue) -> None:
        self.scan.bad.setdefault(self.row, {})[self.column] = bad


def _refuse_entities(*declared: object) -> None:
    raise ValueError("the sheet declares XML entities")


def scan_sheet(data: bytes, styles: dict[int, str]) -> Scan:
    """A pass over a sheet's XML, `styles` being the cell styles that show a month or a year.

    Raises expat.ExpatError and ValueError for what is no sheet.
    """
    handlers = _Pass(styles)
    parser = expat.ParserCreate(namespace_separator="}")
    parser.StartElementHandler = handlers.start
    parser.StartDoctypeDeclHandler = _refuse_entities  # a sheet may go by a name that tells nothing of XML
    parser.Parse(data, True)
    scan = handlers.scan
    room = (scan.last_row + 1) * (scan.last_column + 1)
    if (
        scan.last_column >= MOST_COLUMNS
        or scan.last_row > MOST_ROWS * 2
        or room > min(MOST_ROOM, FREE_ROOM + ROOM_A_CELL * scan.cells)
    ):
        scan.too_far = f"{column_letters(scan.last_column)}{scan.last_row + 1}"
    return scan


def column_index(letters: str) -> int:
    """The column of its letters, counted from 0.

    >>> column_index("A"), column_index("AB")
    (0, 27)
    """
    index = 0
    for letter in letters:
        index = index * 26 + ord(letter) - 64
    return index - 1


def date_styles(styles: bytes | None) -> dict[int, str]:
    """Cell style -> precision, for the styles that show a month or a year without a day."""
    if styles is None:
        return {}
    root = ElementTree.fromstring(styles)
    custom = {
        int(item.get("numFmtId", "0")): item.get("formatCode", "") for item in root.iterfind(".//{*}numFmts/{*}numFmt")
    }
    found = {}
    for at, style in enumerate(root.iterfind(".//{*}cellXfs/{*}xf")):
        number = int(style.get("numFmtId", "0"))
        precision = MONTH if number == _MONTH_YEAR and number not in custom else precision_of(custom.get(number, ""))
        if precision in (MONTH, YEAR):
            found[at] = precision
    return found


def precision_of(code: str) -> str | None:
    """What a format shows of a date: `day`, `month`, `year`, or None when it shows none.

    >>> precision_of('[$-409]mmm\\\\-yy;@'), precision_of("yyyy-mm-dd"), precision_of("yyyy"), precision_of("0.00")
    ('month', 'day', 'year', None)
    """
    signs = set(_NOT_DATE.sub("", code).split(";")[0].lower())
    if "y" not in signs or signs & set("hs"):
        return None
    return DAY if "d" in signs else MONTH if "m" in signs else YEAR
