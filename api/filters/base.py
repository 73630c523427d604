"""How lists are narrowed: every filter names what is nearest when it does not know a value."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

import django_filters
from django import forms
from django.db.models import Model, Q, QuerySet

from api.parameters import Errors, Parameter
from catalog.codes import Role
from catalog.nearest import unknown
from catalog.numbers import normal_form
from catalog.windows import BadDate, Window, parse_day, parse_range

Known = Callable[[Role], QuerySet[Any]]


def rows_of(model: type[Model]) -> Known:
    """All rows of a model, for every role."""
    return lambda role: model._default_manager.all()


class WordField(forms.CharField):
    """A value that some visible row carries."""

    def __init__(self, *, known: Known, column: str, role: Role, **options: Any) -> None:
        self.known, self.column, self.role = known, column, role
        super().__init__(strip=False, **options)

    def validate(self, value: str) -> None:
        super().validate(value)
        if not value:
            return
        rows = self.known(self.role)
        if not rows.filter(**{self.column: value}).exists():
            words = rows.values_list(self.column, flat=True).order_by().distinct()
            raise forms.ValidationError(unknown("value", value, [word for word in words if word]))


class Word(django_filters.CharFilter):
    """Rows that carry a word; `known` are the rows in whose `column` the word must stand."""

    def __init__(self, field_name: str, known: Known, column: str = "code", *, text: str, **options: Any) -> None:
        self.known, self.column, self.text = known, column, text
        super().__init__(field_name, **options)

    @property
    def field(self) -> WordField:
        return WordField(known=self.known, column=self.column, role=self.parent.role, required=False)

    def declared(self, name: str) -> Parameter:
        return Parameter(name, self.text)


class Choice(django_filters.CharFilter):
    """Rows with one of a few values."""

    def __init__(self, field_name: str, values: Sequence[str], *, text: str, **options: Any) -> None:
        self.values, self.text = tuple(values), text
        super().__init__(field_name, **options)

    def declared(self, name: str) -> Parameter:
        return Parameter(name, self.text, values=self.values)


class YesNo(Choice):
    """Rows for which something is so, or is not."""

    def __init__(self, field_name: str, *, text: str, **options: Any) -> None:
        super().__init__(field_name, ("yes", "no"), text=text, **options)

    def filter(self, qs: QuerySet[Any], value: str) -> QuerySet[Any]:
        return qs.filter(**{self.field_name: value == "yes"}) if value else qs


class Whole(django_filters.CharFilter):
    """Rows with one whole number."""

    def __init__(self, field_name: str, *, text: str, least: int, greatest: int, **options: Any) -> None:
        self.text, self.least, self.greatest = text, least, greatest
        super().__init__(field_name, **options)

    def declared(self, name: str) -> Parameter:
        return Parameter(name, self.text, kind="integer", least=self.least, greatest=self.greatest)


class PartNumber(django_filters.CharFilter):
    """A number in any spelling; one that is not known finds nothing, for nobody knows all numbers."""

    def __init__(self, field_name: str, *, text: str, **options: Any) -> None:
        self.text = text
        super().__init__(field_name, **options)

    def filter(self, qs: QuerySet[Any], value: str) -> QuerySet[Any]:
        return qs.filter(**{self.field_name: normal_form(value)}) if value else qs

    def declared(self, name: str) -> Parameter:
        return Parameter(name, self.text)


class DayField(forms.CharField):
    """A full day."""

    def to_python(self, value: str | None) -> date | None:  # type: ignore[override]
        try:
            return parse_day(value) if value else None
        except BadDate as error:
            raise forms.ValidationError(str(error)) from None


class Day(django_filters.CharFilter):
    """Rows of one day."""

    field_class = DayField

    def __init__(self, field_name: str, *, text: str, **options: Any) -> None:
        self.text = text
        super().__init__(field_name, **options)

    def declared(self, name: str) -> Parameter:
        return Parameter(name, self.text)


class RangeField(forms.CharField):
    """A date of any precision, or a range of them."""

    def to_python(self, value: str | None) -> Window | None:  # type: ignore[override]
        if not value:
            return None
        try:
            return parse_range(value)
        except BadDate as error:
            raise forms.ValidationError(f"{error}; a range is written as 2016-03..2018-07") from None


class Built(django_filters.CharFilter):
    """Rows whose window has a day in the one asked for."""

    text = "Built in this time: 2018, 2018-05, 2018-05-14 or 2016-03..2018-07, either end open."
    field_class = RangeField

    def filter(self, qs: QuerySet[Any], value: Window | None) -> QuerySet[Any]:
        if value is None:
            return qs
        if value.first is not None:
            qs = qs.filter(Q(built_to=None) | Q(built_to__gte=value.first))
        if value.last is not None:
            qs = qs.filter(Q(built_from=None) | Q(built_from__lte=value.last))
        return qs

    def declared(self, name: str) -> Parameter:
        return Parameter(name, self.text)


class Filters(django_filters.FilterSet):
    """The filters of one list."""

    def __init__(self, values: Mapping[str, Sequence[str]], rows: QuerySet[Any], role: Role) -> None:
        self.role = role
        super().__init__({name: given[0] for name, given in values.items()}, rows)

    @classmethod
    def parameters(cls) -> tuple[Parameter, ...]:
        return tuple(found.declared(name) for name, found in cls.declared_filters.items())

    def check(self, errors: Errors) -> None:
        """Adds what is wrong with the values."""
        for name, messages in self.form.errors.items():
            errors.add(name, " ".join(map(str, messages)).replace("value ", f"{name} ", 1))
