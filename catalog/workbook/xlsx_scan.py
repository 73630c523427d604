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
_KINDS = {f"{space}}}{name}": name for space in _SPACES for name in ("c", "row", "f")}
_REFERENCE = re.compile(r"([A-Z]{1,3})(\d{1,7})", re.ASCII)
FORMULA = BadValue("the cell holds a formula", "write its value")
ERROR = BadValue("the cell holds a spreadsheet's error", "write a value")
DAY, MONTH, YEAR = "day", "month", "year"
_MONTH_YEAR = 17  # built-in format `mmm-yy` (ECMA-376 part 1, 18.8.30)
_FIRST_CUSTOM = 164
_NOT_DATE = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.')


@dataclass
class Scan:
    """What a sheet holds besides values, gathered in one pass; rows and columns counted from 0.

    `styles`: the cell styles that show a month or a year, as the sheet numbers them.
    """

    styles: dict[str, str]
    bad: dict[int, dict[int, BadValue]] = field(default_factory=dict)
    precision: dict[tuple[int, int], str] = field(default_factory=dict)
    last_row: int = -1
    last_column: int = -1
    cells: int = 0
    row: int = -1
    column: int = -1
    columns: dict[str, int] = field(default_factory=dict)

    @property
    def too_far(self) -> str:
        """The last cell, where the sheet reaches far beyond a table."""
        room = (self.last_row + 1) * (self.last_column + 1)
        fits = self.last_column < MOST_COLUMNS and self.last_row <= MOST_ROWS * 2
        if fits and room <= min(MOST_ROOM, FREE_ROOM + ROOM_A_CELL * self.cells):
            return ""
        return f"{column_letters(self.last_column)}{self.last_row + 1}"

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        kind = _KINDS.get(name)
        if kind == "c":
            self._cell(attributes)
        elif kind == "row":
            self.row = int(attributes["r"]) - 1 if "r" in attributes else self.row + 1
            self.column = -1
        elif kind == "f":
            self._mark(FORMULA)

    def _cell(self, attributes: dict[str, str]) -> None:
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
        self.cells += 1
        self.last_row = max(self.last_row, self.row)
        self.last_column = max(self.last_column, self.column)
        style = attributes.get("s")
        if style in self.styles:
            self.precision[self.row, self.column] = self.styles[style]
        if attributes.get("t") == "e":
            self._mark(ERROR)

    def _mark(self, bad: BadValue) -> None:
        self.bad.setdefault(self.row, {})[self.column] = bad


def _refuse_entities(*declared: object) -> None:
    raise ValueError("the sheet declares XML entities")


def scan_sheet(data: bytes, styles: dict[str, str]) -> Scan:
    """A pass over a sheet's XML. Raises expat.ExpatError and ValueError for what is no sheet."""
    scan = Scan(styles)
    parser = expat.ParserCreate(namespace_separator="}")
    parser.StartElementHandler = scan.start
    parser.StartDoctypeDeclHandler = _refuse_entities  # a sheet may go by a name that tells nothing of XML
    parser.Parse(data, True)
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


def date_styles(styles: bytes | None) -> dict[str, str]:
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
            found[str(at)] = precision
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
