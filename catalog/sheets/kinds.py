"""Kinds of cell: each reads a text into its one canonical text, and says what would be right.

A kind is pure. `read` raises BadCell; `compare` gives the form in which two canonical texts are the same;
`stored` gives the text that PostgreSQL reads for the column (None: null).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from catalog.charset import FORMULA_STARTS, code_fault, control_fault, one_line, value_fault, vin_fault
from catalog.codes import Code, YesNo
from catalog.conditions import BadCondition, parse_conditions
from catalog.nearest import nearest_clause as nearest
from catalog.nearest import shortened
from catalog.numbers import normal_form
from catalog.windows import BadDate, parse_day, parse_from, parse_to, write_from, write_to

MOST_SIGNS = 32_767  # what a cell of a spreadsheet holds
MOST_SIGNS_OF_A_CODE = 80
MOST_WHOLE = 2_147_483_647


class BadCell(ValueError):
    """A text that is no value of the kind: what is wrong, and what would be right."""

    def __init__(self, wrong: str, right: str = "") -> None:
        super().__init__(wrong)
        self.wrong, self.right = wrong, right


@dataclass(frozen=True, slots=True)
class Kind:
    """A text of one line with nothing special about it."""

    is_text: ClassVar[bool] = True  # written as text into a spreadsheet, never as a number
    takes_dates: ClassVar[bool] = False
    takes_booleans: ClassVar[bool] = False

    def read(self, text: str) -> str:
        return text

    def compare(self, text: str) -> str:
        return text

    def stored(self, text: str) -> str | None:
        return text


def quoted(text: str) -> str:
    """A text as a message repeats it: in quotation marks, in one line, cut where it is long.

    >>> quoted("two\\nlines")
    "'two\\\\nlines'"
    """
    return f"'{one_line(shortened(text))}'"


def canonical(kind: "Kind", text: str) -> str:
    """The one text that a cell's text stands for; raises BadCell.

    Control signs are refused, but line breaks in free texts; what a spreadsheet would take for a formula too.
    """
    refuse_formula(text)
    if isinstance(kind, TextKind):
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if fault := control_fault(text.replace("\n", "") if isinstance(kind, TextKind) else text):
        raise BadCell(fault, "take the sign out")
    text = text.strip()
    if not text:
        return ""
    refuse_formula(text)
    if len(text) > MOST_SIGNS:
        raise BadCell(f"the text has {len(text)} signs", f"a cell holds at most {MOST_SIGNS}")
    return kind.read(text)


def refuse_formula(text: str) -> None:
    """Raises BadCell for a text that a spreadsheet would take for a formula."""
    if text.startswith(FORMULA_STARTS):
        sign = {"\t": "a tab", "\r": "a return"}.get(text[0], f"'{text[0]}'")
        raise BadCell(f"the text starts with {sign}", "a text may not start like a formula")


@dataclass(frozen=True, slots=True)
class TextKind(Kind):
    """Free text; line breaks are kept."""


@dataclass(frozen=True, slots=True)
class CodeKind(Kind):
    """A code: no space and none of the signs that lists, groups and addresses need."""

    longest: int = MOST_SIGNS_OF_A_CODE

    def read(self, text: str) -> str:
        if fault := code_fault(text):
            raise BadCell(f"{quoted(text)} is no code: {fault}", "write letters, digits, '-', '_' or '.'")
        return _not_longer(text, self.longest)


@dataclass(frozen=True, slots=True)
class ValueKind(Kind):
    """The value of an attribute, such as body or market: it may stand in conditions."""

    def read(self, text: str) -> str:
        if fault := value_fault(text):
            raise BadCell(
                f"{quoted(text)}: {fault}", "write it without the sign" if "holds" in fault else "write another value"
            )
        return _not_longer(text, MOST_SIGNS_OF_A_CODE)


@dataclass(frozen=True, slots=True)
class WordKind(Kind):
    """A short text of one line, such as a thread or a drive."""

    def read(self, text: str) -> str:
        return _not_longer(text, MOST_SIGNS_OF_A_CODE)


@dataclass(frozen=True, slots=True)
class PartNumberKind(Kind):
    """A part number as printed; two spellings of one normal form are one number."""

    def read(self, text: str) -> str:
        fault = vin_fault(text)
        if fault or not normal_form(text):
            wrong = f"{quoted(text)}: {fault}" if fault else f"{quoted(text)} has neither letter nor digit"
            raise BadCell(wrong, "write the part number as its issuer prints it")
        return _not_longer(text, MOST_SIGNS_OF_A_CODE)

    def compare(self, text: str) -> str:
        return normal_form(text)


@dataclass(frozen=True, slots=True)
class ChoiceKind(Kind):
    """One of the values of an enumeration."""

    codes: type[Code] = Code

    @property
    def choices(self) -> tuple[str, ...]:
        return tuple(self.codes.values)

    def read(self, text: str) -> str:
        if text in self.choices:
            return text
        raise BadCell(
            f"{quoted(text)} is not known here{nearest(text, self.choices)}", f"write one of {', '.join(self.choices)}"
        )


_ANSWERS = frozenset(YesNo.values)


@dataclass(frozen=True, slots=True)
class YesNoKind(Kind):
    takes_booleans: ClassVar[bool] = True

    def read(self, text: str) -> str:
        if text in _ANSWERS:
            return text
        raise BadCell(f"{quoted(text)} is neither yes nor no", "write yes or no")

    def stored(self, text: str) -> str | None:
        return "true" if text == "yes" else "false"


_DECIMAL = re.compile(r"(-?)(\d+)(?:\.(\d+))?", re.ASCII)
_FIGURE_WITH_UNIT = re.compile(r"-?[\d.,]+\s*[^\d\s.,]+.*", re.ASCII)


@dataclass(frozen=True, slots=True)
class DecimalKind(Kind):
    """A figure with a decimal point; `minimum` and `maximum` are closed limits."""

    places: int = 5
    digits: int = 9
    minimum: Decimal | None = None
    maximum: Decimal | None = None
    unit: str = ""
    is_text: ClassVar[bool] = False

    def read(self, text: str) -> str:
        found = _DECIMAL.fullmatch(text)
        if not found:
            raise BadCell(f"{quoted(text)} is not a number", self._right(text))
        sign, whole, fraction = found.groups()
        whole, fraction = whole.lstrip("0") or "0", (fraction or "").rstrip("0")
        if len(fraction) > self.places:
            raise BadCell(f"{quoted(text)} has {len(fraction)} decimal places", f"at most {self.places} are kept")
        if len(whole) > self.digits:
            raise BadCell(f"{quoted(text)} is too great", f"at most {self.digits} digits before the point")
        canonical = f"{whole}.{fraction}" if fraction else whole
        if sign and canonical != "0":
            canonical = "-" + canonical
        check_limits(canonical, self.minimum, self.maximum)
        return canonical

    def _right(self, text: str) -> str:
        if _FIGURE_WITH_UNIT.fullmatch(text) and self.unit:
            return f"write the figure alone; it is in {self.unit}"
        if "," in text:
            return "write a decimal point, and no sign between thousands"
        return "write digits with a decimal point, such as 12.5" + (f" (in {self.unit})" if self.unit else "")

    def stored(self, text: str) -> str | None:
        return text or None


@dataclass(frozen=True, slots=True)
class WholeKind(DecimalKind):
    places: int = 0
    digits: int = 10
    maximum: Decimal | None = Decimal(MOST_WHOLE)

    def read(self, text: str) -> str:
        # Named: a class made with slots is a new class that a bare super() does not know.
        found = _DECIMAL.fullmatch(text)
        if found and (found.group(3) or "").strip("0"):
            raise BadCell(f"{quoted(text)} is not a whole number", "write a whole number")
        return DecimalKind.read(self, text)


def check_limits(canonical: str, minimum: Decimal | None, maximum: Decimal | None) -> None:
    """Raises BadCell for a figure outside its closed limits."""
    value = Decimal(canonical)
    if minimum is not None and value < minimum:
        right = "it may not be negative" if minimum == 0 else f"write at least {minimum}"
        raise BadCell(f"'{canonical}' is below {minimum}", right)
    if maximum is not None and value > maximum:
        raise BadCell(f"'{canonical}' is above {maximum}", f"write at most {maximum}")


@dataclass(frozen=True, slots=True)
class DateKind(Kind):
    """A date: the first day of a window, its last, or a full day."""

    parse: Callable[[str], object] = parse_day
    takes_dates: ClassVar[bool] = True

    def read(self, text: str) -> str:
        try:
            if self.parse is parse_from:
                return write_from(parse_from(text))
            if self.parse is parse_to:
                return write_to(parse_to(text))
            return parse_day(text).isoformat()
        except BadDate as error:
            right = "write YYYY-MM-DD" if self.parse is parse_day else "write YYYY-MM-DD, YYYY-MM or YYYY"
            raise BadCell(str(error).split("; write")[0], right) from error

    def stored(self, text: str) -> str | None:
        return str(self.parse(text)) if text else None


@dataclass(frozen=True, slots=True)
class ConditionsKind(Kind):
    """Conditions (catalog.conditions); some attributes may have no sense in a sheet."""

    without: tuple[str, ...] = ()

    def read(self, text: str) -> str:
        try:
            conditions = parse_conditions(text)
        except BadCondition as error:
            raise BadCell(str(error), "write clauses such as engine = E20 | E30; option.TOW = no") from error
        for clause in conditions.clauses:
            if clause.attribute in self.without:
                raise BadCell(f"'{clause.attribute}' cannot stand in these conditions", "leave the clause out")
        return str(conditions)


@dataclass(frozen=True, slots=True)
class ListKind(Kind):
    """Items separated by spaces, none twice.

    `ordered` keeps the order in which they are written; `array` stores them as an array, not as a text.
    """

    item: Kind = CodeKind()
    ordered: bool = True
    array: bool = False

    def read(self, text: str) -> str:
        items = [self.item.read(item) for item in text.split()]
        for at, item in enumerate(items):
            if item in items[:at]:
                raise BadCell(f"'{item}' stands twice", "name it once")
        return " ".join(items if self.ordered else sorted(items))

    def stored(self, text: str) -> str | None:
        return "{" + ",".join(text.split()) + "}" if self.array else text


@dataclass(frozen=True, slots=True)
class GroupsKind(Kind):
    """Groups separated by `;` that must all be met, alternatives inside a group by `|`."""

    item: Kind = CodeKind()

    def read(self, text: str) -> str:
        groups = []
        for group in text.split(";"):
            items = [item.strip() for item in group.split("|")]
            if not all(items):
                raise BadCell("an empty place stands beside ';' or '|'", "write a | b; c")
            groups.append(" | ".join(self.item.read(item) for item in items))
        return "; ".join(groups)


def groups_of(text: str) -> list[list[str]]:
    """The groups of a canonical text.

    >>> groups_of("lift | stands; puller")
    [['lift', 'stands'], ['puller']]
    """
    return [group.split(" | ") for group in text.split("; ")] if text else []


@dataclass(frozen=True, slots=True)
class PatternKind(Kind):
    """A text of a stated form; `write` gives it its one spelling."""

    pattern: str = ""
    right: str = ""
    write: str = r"\g<0>"

    def read(self, text: str) -> str:
        found = re.fullmatch(self.pattern, text, re.ASCII)
        if not found:
            raise BadCell(f"{quoted(text)} has not the form asked", self.right)
        return found.expand(self.write)


def _not_longer(text: str, most: int) -> str:
    if len(text) > most:
        raise BadCell(f"the text has {len(text)} signs", f"write at most {most}")
    return text
