"""JSON schemas of computed answers, written shortly: every member of an object is always there."""

from typing import Any

Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
NUMBER: Schema = {"type": "number"}
WHOLE: Schema = {"type": "integer"}
TRUTH: Schema = {"type": "boolean"}


def shape(**members: Schema) -> Schema:
    """An object with exactly these members."""
    return {"type": "object", "properties": members, "required": list(members), "additionalProperties": False}


def listed(item: Schema) -> Schema:
    """A list of such items."""
    return {"type": "array", "items": item}


def pair(item: Schema) -> Schema:
    """Two such items, the lesser first."""
    return {"type": "array", "items": item, "minItems": 2, "maxItems": 2}


def by_name(value: Schema) -> Schema:
    """An object whose members have names of their own."""
    return {"type": "object", "additionalProperties": value}


def maybe(schema: Schema) -> Schema:
    """The same, or null."""
    return {"oneOf": [schema, {"type": "null"}]}


def one_of(*values: str) -> Schema:
    """One of these words."""
    return {"type": "string", "enum": list(values)}


CATALOGUE = shape(id=TEXT, edition=WHOLE)


def page(row: Schema, **more: Schema) -> Schema:
    """A page of such rows, with the addresses of the pages beside it."""
    return shape(catalogue=CATALOGUE, **more, results=listed(row), next=maybe(TEXT), previous=maybe(TEXT))
