"""What to type: examples out of the catalogue itself, so that each of them works."""

from dataclasses import dataclass

from django.db.models import Exists, OuterRef

from catalog.codes import Role, Status
from catalog.models import Hold, Part, Revision, Supersession, Variant
from catalog.selectors.visible import visible_numbers


@dataclass(frozen=True, slots=True)
class TypedExample:
    text: str
    what: str


def typed_examples() -> tuple[TypedExample, ...]:
    """A description, a chassis code, a part, a number, a stamp (five queries); nothing the catalogue has not."""
    found: list[TypedExample] = []
    columns = ("platform__chassis", "designation", "body", "drivetrain", "built_from")
    # Never by cars in operation: their counts are not for the public, nor is an order by them.
    car = Variant.objects.order_by("platform__chassis", "code").values_list(*columns).first()
    if car is not None:
        chassis, designation, body, drivetrain, since = car
        month = f"{since.month:02d}/{since.year + 1}"
        found.append(TypedExample(f"{chassis.lower()} {designation} {body} {drivetrain} {month}", "a description"))
        found.append(TypedExample(chassis, "a chassis code"))
    part = Part.objects.filter(revisions__status=Status.RELEASED).order_by("code").values_list("code", flat=True)
    found += [TypedExample(code, "one of our parts") for code in part[:1]]
    return (*found, *_number(), *_stamp())


def _number() -> list[TypedExample]:
    """A number of an original joint; rather one that another has replaced, since its chain is worth seeing."""
    numbers = visible_numbers(Role.PUBLIC).filter(component__isnull=False).order_by("issuer", "normal")
    later = Supersession.objects.filter(issuer=OuterRef("issuer"), old_normal=OuterRef("normal"))
    row = numbers.filter(Exists(later)).first() or numbers.first()
    return [] if row is None else [TypedExample(row.number, "a number off the old part")]


def _stamp() -> list[TypedExample]:
    """A stamp of a revision for sale; rather of a batch on hold, since that is worth asking for."""
    held = Hold.objects.filter(closed_on=None, revision__status=Status.RELEASED).exclude(batch_from="")
    columns = ("revision__part__code", "revision__letter", "batch_from")
    row = held.order_by(*columns).values_list(*columns).first()
    if row is not None:
        return [TypedExample("{}-{} {}".format(*row), "the stamp on one of ours")]
    made = Revision.objects.filter(status=Status.RELEASED).order_by("part__code", "letter")
    stamp = made.values_list("part__code", "letter").first()
    return [] if stamp is None else [TypedExample("{}-{}".format(*stamp), "the stamp on one of ours")]
