"""A catalogue made larger by copies of itself, written by the database itself."""

from django.apps import apps
from django.core.management.color import no_style
from django.db import connection, models
from django.db.models import Max

# Tables that a catalogue has once: the catalogue itself, its history, and what all cars share.
# VIN patterns and enquiries stay as they are too: their texts are no free words, so a copy would be none.
SHARED = {
    "catalogue", "edition", "change", "answerchange", "apitoken", "equipment", "hazard", "material", "technology",
    "vinpattern", "vinpatternvariant", "upload", "enquiry", "download", "minuteschange",
}  # fmt: skip


def grow(copies: int) -> None:
    """Adds `copies` copies of every vehicle, axle, component, part, decision and all that hangs on them.

    Conditions keep naming the codes of the original, so the copies' rows are as true there as they were; what
    is measured is a question about the original in the larger catalogue.
    """
    replicated = [
        model
        for model in apps.get_models()
        if model._meta.app_label in ("catalog", "fitment") and model._meta.model_name not in SHARED
    ]
    tables = {model._meta.db_table for model in replicated}
    ordered = sorted(replicated, key=lambda model: _depth(model, tables))
    steps = {model._meta.db_table: (model.objects.aggregate(most=Max("pk"))["most"] or 0) + 1 for model in replicated}
    with connection.cursor() as cursor:
        for model in ordered:
            _copy(cursor, model, copies, steps)
        for statement in connection.ops.sequence_reset_sql(no_style(), ordered):
            cursor.execute(statement)
        cursor.execute("ANALYZE")


def _depth(model: type[models.Model], tables: set[str], seen: frozenset[str] = frozenset()) -> int:
    """How many tables have to be filled before this one."""
    targets = [
        field.related_model
        for field in model._meta.concrete_fields
        if field.is_relation and field.related_model._meta.db_table in tables - seen - {model._meta.db_table}
    ]
    return 1 + max((_depth(target, tables, seen | {model._meta.db_table}) for target in targets), default=0)


def _copy(cursor, model: type[models.Model], copies: int, steps: dict[str, int]) -> None:
    quote = connection.ops.quote_name
    suffixed = _own_words(model, steps)
    columns, values = [], []
    for field in model._meta.concrete_fields:
        if getattr(field, "generated", False):
            continue
        column = quote(field.column)
        columns.append(column)
        if field.primary_key:
            values.append(f"{column} + copy * {steps[model._meta.db_table]}")
        elif field.is_relation and field.related_model._meta.db_table in steps:
            values.append(f"{column} + copy * {steps[field.related_model._meta.db_table]}")
        elif field.name in suffixed:
            values.append(f"{column} || 'Z' || copy")
        else:
            values.append(column)
    table = quote(model._meta.db_table)
    cursor.execute(
        f"INSERT INTO {table} ({', '.join(columns)}) "
        f"SELECT {', '.join(values)} FROM {table}, generate_series(1, %s) copy",
        [copies],
    )


def _own_words(model: type[models.Model], steps: dict[str, int]) -> set[str]:
    """The texts that must differ from copy to copy: those of keys that may name no copied row."""
    found: set[str] = set()
    keys = [
        constraint.fields for constraint in model._meta.constraints if isinstance(constraint, models.UniqueConstraint)
    ]
    keys += [(field.name,) for field in model._meta.concrete_fields if field.unique and not field.primary_key]
    for names in keys:
        fields = [model._meta.get_field(name) for name in names]
        if not any(
            field.is_relation and not field.null and field.related_model._meta.db_table in steps for field in fields
        ):
            found |= {field.name for field in fields if isinstance(field, models.CharField | models.TextField)}
    # A number's normal form is made of the number: both change together.
    return found | {
        "number" if name == "normal" else name.removesuffix("_normal") for name in found if name.endswith("normal")
    }
