"""Which role sees which field of a computed answer; those of facts stand with the columns of their sheets.

Fields are listed, never 'all': a column that is added to a model shows nowhere before it stands here. Names with a
point are rows inside a row. `Role` is the least role that sees the field.
"""

from collections.abc import Mapping
from functools import cache

from catalog.codes import Role

Fields = Mapping[str, Role]


def _for(role: Role, names: str) -> dict[str, Role]:
    return dict.fromkeys(names.split(), role)


def _public(names: str) -> dict[str, Role]:
    return _for(Role.PUBLIC, names)


def _sales(names: str) -> dict[str, Role]:
    return _for(Role.SALES, names)


FIELDS: Mapping[str, Fields] = {
    "fitment": _public("catalogue car question answers unknown_locations unknown_axles"),
    "fitment.car": _public("stated variants") | _sales("in_operation"),
    "fitment.question": _public("attribute text choices undecided") | _sales("expected_undecided"),
    "fitment.answers": _public(
        "end location part revision verdict basis reasons undecided_by other_revisions remarks orientation papers "
        "rules holds"
    )
    | _sales("internal")
    | _public("job"),
    "parts.cars": _public("variant end location built_from built_to verdict revision"),
    "holds": _public("batch_from batch_to look_for opened_on") | _sales("cause closed_on"),
    "cross_reference.holds": _public("batch_from batch_to look_for opened_on") | _sales("cause"),
}


@cache
def fields_of(table: str, role: Role) -> tuple[str, ...]:
    """The fields of a table that a role sees, in order."""
    return tuple(name for name, least in FIELDS[table].items() if role.at_least(least))
