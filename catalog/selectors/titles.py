"""What people call things: makers, platforms, options, joints, steps, equipment; examples of each."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Exists, OuterRef

from catalog.codes import Role, Status
from catalog.models import (
    Component,
    Equipment,
    Hold,
    Location,
    Maker,
    Operation,
    Option,
    Part,
    Platform,
    Revision,
    Supersession,
    Variant,
)
from catalog.selectors.visible import visible_numbers


@dataclass(frozen=True, slots=True)
class Titles:
    """Titles by code; `locations` by (end, code)."""

    makers: Mapping[str, str]
    options: Mapping[str, str]
    components: Mapping[str, str]
    locations: Mapping[tuple[str, str], str]


def catalogue_titles() -> Titles:
    """Four queries."""
    locations = Location.objects.order_by("topology__code").values_list("topology__end", "code", "title")
    return Titles(
        makers=dict(Maker.objects.values_list("code", "title")),
        options=dict(Option.objects.values_list("code", "title")),
        components=dict(Component.objects.values_list("code", "title")),
        locations={(end, code): title for end, code, title in locations},
    )


@dataclass(frozen=True, slots=True)
class SpokenNames:
    """Titles by code; platforms as (chassis, title without the maker's)."""

    makers: tuple[tuple[str, str], ...]
    platforms: tuple[tuple[str, str], ...]
    options: tuple[tuple[str, str], ...]


def spoken_names() -> SpokenNames:
    """Three queries, of the small tables of the catalogue."""
    platforms = Platform.objects.order_by("chassis", "pk").values_list("chassis", "title", "maker__title")
    return SpokenNames(
        makers=tuple(Maker.objects.order_by("code").values_list("code", "title")),
        platforms=tuple((chassis, title.replace(maker, "").strip()) for chassis, title, maker in platforms),
        options=tuple(Option.objects.order_by("code").values_list("code", "title")),
    )


def step_titles(*, keys: Iterable[tuple[str, str]]) -> dict[tuple[str, str], tuple[str, str]]:
    """(axle, operation) -> (title of the axle, title of the step), in one query."""
    wanted = set(keys)
    rows = Operation.objects.filter(axle__code__in={axle for axle, _ in wanted}, code__in={code for _, code in wanted})
    columns = ("axle__code", "code", "axle__title", "title")
    found = {(axle, code): (of or axle, title or code) for axle, code, of, title in rows.values_list(*columns)}
    return {key: found[key] for key in wanted if key in found}


def tool_titles(*, codes: Iterable[str]) -> dict[str, str]:
    """Titles by code (one query)."""
    return dict(Equipment.objects.filter(code__in=list(codes)).values_list("code", "title"))


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
