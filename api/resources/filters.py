"""How lists are narrowed: by a column (`filter_of`), or by a relation that no column says.

A filter reads one parameter and narrows the rows by it; a word that no visible row carries is refused, naming the
nearest.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

import django_filters
from django import forms
from django.db.models import Model, Q, QuerySet

from api.parameters import Errors, Parameter
from api.resources.rows import accessor_of, item_of, path_of
from catalog.codes import Code, Role, YesNo
from catalog.nearest import unknown
from catalog.numbers import normal_form
from catalog.selectors.visible import visible_rows
from catalog.sheets.kinds import ChoiceKind, DateKind, PartNumberKind, WholeKind, YesNoKind
from catalog.sheets.sheet import Column, Sheet
from catalog.windows import BadDate, Window, parse_day, parse_range
from catalog.workbook.storage import model_of
from fitment.sheets import SHEETS

Rows = QuerySet[Any]
Narrow = Callable[[Rows, Any, Role], Rows]


class ParsedField(forms.CharField):
    """The text of one parameter, as what it stands for."""

    def __init__(self, *, parse: Callable[[str, Role], Any], role: Role) -> None:
        self.parse, self.role = parse, role
        super().__init__(strip=False, required=False)

    def clean(self, value: str | None) -> Any:
        try:
            return self.parse(value, self.role) if value else None
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None


class Filter(django_filters.Filter):
    """A parameter, what its text stands for (ValueError: what is wrong with it), and how rows are narrowed by it."""

    def __init__(
        self, parameter: Parameter, narrow: Narrow, parse: Callable[[str, Role], Any] = lambda text, role: text
    ) -> None:
        self.parameter, self.narrow, self.parse = parameter, narrow, parse
        super().__init__(parameter.name)

    @property
    def field(self) -> ParsedField:
        return ParsedField(parse=self.parse, role=self.parent.role)

    def filter(self, qs: Rows, value: Any) -> Rows:
        return qs if value is None else self.narrow(qs, value, self.parent.role)


class RowFilters(django_filters.FilterSet):
    """The filters of a list, for one role."""

    def __init__(self, values: Mapping[str, Sequence[str]], rows: Rows, role: Role) -> None:
        self.role = role
        super().__init__({name: given[0] for name, given in values.items() if given}, rows)

    def narrowed(self, errors: Errors) -> Rows:
        """The rows that the values leave; what is wrong with a value is added to the errors."""
        for name, messages in self.form.errors.items():
            errors.add(name, " ".join(map(str, messages)))
        return self.queryset if self.form.errors else self.qs


def by(path: str) -> Narrow:
    """Rows with the value at the end of the path, each once."""

    def narrow(rows: Rows, value: Any, role: Role) -> Rows:
        found = rows.filter(**{path: value})
        return found.distinct() if _leads_to_many(rows.model, path) else found

    return narrow


def _leads_to_many(model: type[Model], path: str) -> bool:
    """Whether a path goes from a row to several."""
    for name in path.split("__"):
        field: Any = model._meta.get_field(name)
        if field.one_to_many:
            return True
        if not field.is_relation:
            return False
        model = field.related_model
    return False


def word(name: str, text: str, narrow: Narrow, known: tuple[type[Model], str]) -> Filter:
    """A value that some visible row of a model carries in a field."""
    model, field = known

    def parse(value: str, role: Role) -> str:
        rows = visible_rows(model, role)
        if not rows.filter(**{field: value}).exists():
            words = rows.values_list(field, flat=True).order_by().distinct()
            raise ValueError(unknown(name, value, [word for word in words if word]))
        return value

    return Filter(Parameter(name, text), narrow, parse)


def choice(name: str, text: str, narrow: Narrow, codes: type[Code]) -> Filter:
    """One of the values of an enumeration."""
    return Filter(Parameter(name, text, values=tuple(codes.values)), narrow, lambda value, role: codes(value))


def yes_no(name: str, text: str, narrow: Narrow) -> Filter:
    """Rows for which something is so, or is not; `narrow` takes a boolean."""
    return Filter(Parameter(name, text, values=tuple(YesNo.values)), narrow, lambda value, role: value == YesNo.YES)


def built() -> Filter:
    """Rows whose window has a day in the one asked for."""

    def parse(text: str, role: Role) -> Window:
        try:
            return parse_range(text)
        except BadDate as error:
            raise ValueError(f"{error}; a range is written as 2016-03..2018-07") from None

    def narrow(rows: Rows, window: Window, role: Role) -> Rows:
        if window.first is not None:
            rows = rows.filter(Q(built_to=None) | Q(built_to__gte=window.first))
        if window.last is not None:
            rows = rows.filter(Q(built_from=None) | Q(built_from__lte=window.last))
        return rows

    text = "Built in this time: 2018, 2018-05, 2018-05-14 or 2016-03..2018-07, either end open."
    return Filter(Parameter("built", text), narrow, parse)


def of_key(name: str, text: str, sheet: Sheet, narrow: Narrow | str) -> Filter:
    """The code of a row of another sheet, in its last key column; `narrow` may be the path to it."""
    return word(
        name,
        text,
        by(narrow) if isinstance(narrow, str) else narrow,
        known_in(sheet, sheet.columns[sheet.key_at[-1]].name),
    )


def filter_of(sheet: Sheet, column: Column) -> Filter:
    """The filter that a column is."""
    name, text = column.filter, column.help
    if many := next((one for one in sheet.many if one.column == column.name), None):
        target = SHEETS[many.sheet]
        return of_key(name, text, target, f"{accessor_of(many)}__{item_of(many)}")
    path = path_of(sheet, column.name)
    match column.kind:
        case ChoiceKind(codes=codes):
            return choice(name, text, by(path), codes)
        case YesNoKind():
            return yes_no(name, text, by(path))
        case WholeKind(minimum=minimum, maximum=maximum):
            low, high = (None if limit is None else int(limit) for limit in (minimum, maximum))
            return Filter(Parameter(name, text, kind="integer", minimum=low, maximum=high), by(path))
        case DateKind():
            return Filter(Parameter(name, text), by(path), _day)
        case PartNumberKind():
            # A number that is not known finds nothing: nobody knows all numbers.
            normal = (field for field, computed in sheet.computed.items() if computed == (column.name, normal_form))
            return Filter(Parameter(name, text), by(next(normal, path)), lambda value, role: normal_form(value))
    return word(name, text, by(path), known_in(sheet, column.name))


def known_in(sheet: Sheet, column: str) -> tuple[type[Model], str]:
    """The model and field in which the values of a column stand first: those of the sheet that it names."""
    for reference in sheet.references:
        if column in reference.read_through:
            target = SHEETS[reference.sheet]
            return known_in(target, target.columns[target.key_at[reference.columns.index(column)]].name)
    if any(column == place.location for place in sheet.places):
        return known_in(SHEETS["locations"], "location")
    return model_of(sheet.model), sheet.column(column).stored_in


def _day(text: str, role: Role) -> date:
    return parse_day(text)
