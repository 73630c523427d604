"""The cars that have a component, and what replaces it there."""

from collections.abc import Iterable, Mapping, Sequence

from django.db.models import Q

from catalog.codes import SOME_FIT
from catalog.models import Joint, Part, Variant
from catalog.windows import Window
from fitment.answers.lookup import CarRow, Upgrade, VariantWindow
from fitment.domain import facts as pure
from fitment.domain.description import Description
from fitment.domain.facts import Facts, Place
from fitment.readers.cars import read_axles, read_cars
from fitment.readers.parts import parts_decided_for, read_parts
from fitment.readers.platforms import as_of
from fitment.rules.case import Case
from fitment.rules.outcome import decided_components, judge
from fitment.rules.possible_cars import CarSpace, VariantRegion
from fitment.rules.residual import OptionBits, residual_of, span


def component_facts(components: Sequence[str]) -> Facts:
    """Every car with an axle that any of the components sits on, and the parts decided for them."""
    joints = Joint.objects.filter(component__code__in=components).order_by()
    codes = set(joints.values_list("axle__code", flat=True).distinct())
    rows = Variant.objects.filter(Q(front_axle__code__in=codes) | Q(rear_axle__code__in=codes))
    variants, options = read_cars(rows)
    others = {axle for variant in variants for axle in (variant.front_axle, variant.rear_axle) if axle} - codes
    axles = {code: pure.Axle(code, "", {}) for code in others} | read_axles(codes)
    parts = read_parts(Part.objects.filter(pk__in=parts_decided_for(components)), components)
    return Facts(variants=variants, axles=axles, options=options, parts=parts, as_of=as_of())


def cars_with(facts: Facts, sides: Mapping[str, Iterable[str | None]]) -> tuple[CarRow, ...]:
    """One row a joint row of each component (and side): the variants of which some possible car has it.

    Windows are the cut of the row's and the variant's; conditions on options or build days may narrow them more.
    """
    space = CarSpace(facts, Description())
    return tuple(
        _car_row(facts, space, axle, location, joint, side)
        for component in sorted(sides)
        for side in sorted(sides[component], key=lambda name: name or "")
        for axle in facts.axles.values()
        for location, joints in sorted(axle.joints.items())
        for joint in joints
        if joint.component == component
    )


def _car_row(
    facts: Facts, space: CarSpace, axle: pure.Axle, location: str, joint: pure.Joint, side: str | None
) -> CarRow:
    having = [
        VariantWindow(region.variant.code, both.first, both.last)
        for region in space
        if region.variant.axle(axle.end) == axle.code
        and not (both := joint.window & Window(region.variant.built_from, region.variant.built_to)).is_empty
        and _may_have(region, space.bits, axle, location, joint)
    ]
    return CarRow(
        component=joint.component,
        end=axle.end,
        axle=axle.code,
        location=location,
        side=side,
        built_from=joint.window.first,
        built_to=joint.window.last,
        conditions=str(joint.conditions),
        alternative=joint.alternative,
        variants=tuple(having),
    )


def _may_have(region: VariantRegion, bits: OptionBits, axle: pure.Axle, location: str, joint: pure.Joint) -> bool:
    residual = residual_of(joint.conditions, region.variant, bits, {"axle": axle.code, "location": location})
    if residual is None:
        return False
    first, last = span(joint.window)
    return any(
        first <= cell.first <= last and residual.holds(cell.first, cell.mask)
        for cell in region.cells(residual.bits, (first, last + 1, *residual.cuts()))
    )


def upgrades_of(facts: Facts, components: Iterable[str]) -> tuple[Upgrade, ...]:
    """By component and place, the parts that fit, or depend, over all possible cars with the component there."""
    return tuple(
        upgrade
        for component in sorted(components)
        for place in _places(facts, component)
        for upgrade in _upgrades_at(facts, component, place)
    )


def _places(facts: Facts, component: str) -> list[Place]:
    return sorted(
        {
            (axle.end, location)
            for axle in facts.axles.values()
            for location, joints in axle.joints.items()
            if any(joint.component == component for joint in joints)
        }
    )


def _upgrades_at(facts: Facts, component: str, place: Place) -> Iterable[Upgrade]:
    space = CarSpace(facts, Description(components=((place, component),)))
    if not len(space):
        return
    for part in facts.parts.values():
        if component not in decided_components(part):
            continue
        revisions = part.visible()
        judgement = judge(Case(space, part, place, revisions).reasons())
        if judgement.verdict in SOME_FIT and judgement.named is not None:
            yield Upgrade(
                component=component,
                end=place[0],
                location=place[1],
                part=part.code,
                revision=revisions[judgement.named].letter,
                verdict=judgement.verdict,
                other_revisions=tuple(revisions[position].letter for position in judgement.others),
            )
