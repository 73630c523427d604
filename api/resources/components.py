"""`components/`, `numbers/`."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Exists, OuterRef, Q
from rest_framework.request import Request

from api.addresses import address
from api.endpoint import ReadEndpoint
from api.parameters import checked, control_sign
from api.problems import NotFound
from api.resources.filters import Rows, by, choice, of_key
from api.resources.resource import Inside, Resource
from api.resources.rows import TEXT, FactMember, FactRow, member_of, row_of
from catalog.codes import Decision, End, Role
from catalog.models import Number
from catalog.selectors.visible import visible_revisions
from catalog.sheets import components, parts, suspension
from fitment.models import FitDecision


def _with_part(rows: Rows, code: str, role: Role) -> Rows:
    """Components that a part is approved for."""
    decisions = FitDecision.objects.filter(
        component=OuterRef("pk"),
        decision=Decision.APPROVED,
        revision__in=visible_revisions(role).filter(part__code=code),
    )
    return rows.filter(Exists(decisions))


def _of_part(rows: Rows, code: str, role: Role) -> Rows:
    return rows.filter(Q(part__code=code) | Q(revision__part__code=code))


def _part(row: Number, role: Role) -> str | None:
    """The part that a number stands for, itself or by a revision."""
    part = row.part or (row.revision.part if row.revision else None)
    return part.code if part else None


COMPONENTS = Resource(
    components.COMPONENTS,
    "The original joint; sizes in mm, roughness in um, stiffness in N/mm.",
    "Original joints.",
    detail="The original joint with the places where it sits.",
    filters=(
        of_key("axle", "Components of this axle.", suspension.AXLES, "joints__axle__code"),
        of_key("location", "Components at this location.", suspension.LOCATIONS, "joints__location__code"),
        choice("end", "Components at this end.", by("joints__axle__end"), End),
        of_key("part", "Components this part is approved for.", parts.PARTS, _with_part),
    ),
    inside=(
        Inside(
            suspension.JOINTS,
            "A place where the component sits.",
            name="places",
            row="ComponentPlace",
            columns=("axle", "location"),
            members={
                "axle": FactMember(
                    "end",
                    lambda row, role: row.axle.end,
                    TEXT | {"description": "The end of the car."},
                    joins=("axle",),
                )
            },
            order=("axle__code", "location__code"),
            rows=lambda rows: rows.distinct("axle__code", "location__code"),
        ),
    ),
)

_PART = member_of(components.NUMBERS, components.NUMBERS.column("part"))
_NORMAL = {**TEXT, "description": "The form in which numbers are compared."}
_MEMBERS = {
    "number": FactMember("normal", lambda row, role: row.normal, _NORMAL),
    "part": FactMember("part", _part, _PART.schema, joins=("part", "revision__part")),
}
_HREF = FactMember(
    "href",
    lambda row, role: address("numbers", row.issuer, row.normal),
    {**TEXT, "description": "The address of the number."},
)

NUMBERS = Resource(
    components.NUMBERS,
    "A part number and one thing it stands for.",
    "Part numbers, a row for each thing a number stands for.",
    order=("issuer", "normal", "pk"),
    order_kinds=(str, str, int),
    members=_MEMBERS,
    last=(_HREF,),
    filters=(of_key("part", "Numbers of this part.", parts.PARTS, _of_part),),
    href=False,
)
TARGET = row_of(
    components.NUMBERS,
    "NumberTarget",
    "One thing a number stands for.",
    columns=("component", "part", "revision", "side"),
    members=_MEMBERS,
)


def _targets(rows: list[Number], role: Role) -> list[dict[str, Any]]:
    return [TARGET.write(row, role) for row in rows if row.component_id or row.part_id or row.revision_id]


_ONE = row_of(components.NUMBERS, "", "", columns=("issuer", "number", "kind"), members=_MEMBERS, last=(_HREF,))
NUMBER = FactRow(
    "NumberDetail",
    "A part number with all that it stands for.",
    (*_ONE.members, FactMember("targets", _targets, [TARGET.shape])),
)


class NumberDetail(ReadEndpoint):
    """A part number with all that it stands for."""

    answers = {"GET": NUMBER.alone("NumberDetailAlone")}

    def read(self, request: Request, **keys: str) -> list[Number]:
        checked(request.GET, ())
        issuer, normal = keys["issuer"], keys["normal"]
        known = not control_sign(issuer + normal)
        rows = NUMBERS.row.query(NUMBERS.visible(self.role), self.role)
        found = list(rows.filter(issuer=issuer, normal=normal).order_by("pk")) if known else []
        if not found:
            raise NotFound("number", f"{issuer} {normal}" if known else "")
        return found

    def compute(self, asked: list[Number]) -> Mapping[str, Any]:
        return _ONE.write(asked[0], self.role) | {"targets": _targets(asked, self.role)}


RESOURCES = (COMPONENTS, NUMBERS)
