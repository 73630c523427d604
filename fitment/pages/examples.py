"""What to type: examples out of the catalogue itself, so that each of them works."""

from dataclasses import dataclass

from catalog.models import Part, Status, Variant
from fitment.facts.editions import kept_for_edition


@dataclass(frozen=True, slots=True)
class Example:
    text: str
    what: str


@kept_for_edition(entries=1)
def examples() -> tuple[Example, ...]:
    """A description, a chassis code and a part (two queries); nothing of what the catalogue has not."""
    found: list[Example] = []
    columns = ("platform__chassis", "designation", "body", "drivetrain", "built_from")
    # Never by cars in operation: their counts are not for the public, nor is an order by them.
    car = Variant.objects.order_by("platform__chassis", "code").values_list(*columns).first()
    if car is not None:
        chassis, designation, body, drivetrain, since = car
        month = f"{since.month:02d}/{since.year + 1}"
        found.append(Example(f"{chassis.lower()} {designation} {body} {drivetrain} {month}", "a description"))
        found.append(Example(chassis, "a chassis code"))
    part = Part.objects.filter(revisions__status=Status.RELEASED).order_by("code").values_list("code", flat=True)
    found += [Example(code, "one of our parts") for code in part[:1]]
    return tuple(found)
