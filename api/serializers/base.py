"""Fields of computed answers, and objects cut to what the role may see."""

from collections.abc import Callable, Sequence
from typing import Any, ClassVar

from rest_framework import serializers

from api.roles import FIELDS, fields_of
from catalog.codes import Role


class Text(serializers.CharField):
    """Free text; empty where there is none."""


class Word(serializers.CharField):
    """A code or a choice; null where there is none. `of` reads it from the row."""

    def __init__(self, of: Callable[[Any], str | None] | None = None, **options: Any) -> None:
        self.of = of
        super().__init__(allow_null=True, **options)

    def get_attribute(self, instance: Any) -> Any:
        return self.of(instance) if self.of else super().get_attribute(instance)

    def to_representation(self, value: Any) -> str | None:  # type: ignore[override]  # null where there is none
        return str(value) or None


class Count(serializers.IntegerField):
    """A whole number; null where it is not known."""

    def __init__(self, **options: Any) -> None:
        super().__init__(allow_null=options.pop("allow_null", True), **options)


class Day(serializers.DateField):
    """A full day; null for an open end or where it is not known."""

    def __init__(self, **options: Any) -> None:
        super().__init__(allow_null=options.pop("allow_null", True), **options)


class Words(serializers.ListField):
    """Codes in order, read from the row by a function."""

    child: Any = serializers.CharField()

    def __init__(self, of: Callable[[Any], Sequence[Any]] | None = None, **options: Any) -> None:
        self.of = of
        super().__init__(**options)

    def get_attribute(self, instance: Any) -> Any:
        return self.of(instance) if self.of else super().get_attribute(instance)


class Row(serializers.Serializer[Any]):
    """A row of a table of `api.roles`, by which its fields are cut and ordered."""

    table: ClassVar[str]

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        role = self.context.get("role")
        declared = super().get_fields()
        if role is None:  # the OpenAPI document shows all, those that not everybody sees as optional
            for name, least in FIELDS[self.table].items():
                declared[name].required = least is Role.PUBLIC
            return {name: declared[name] for name in declared if name in FIELDS[self.table] or name == "catalogue"}
        seen = set(fields_of(self.table, role)) | {"catalogue"}
        return {name: field for name, field in declared.items() if name in seen}
