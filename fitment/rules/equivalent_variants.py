"""Which variants a place of an axle does not tell apart, so that looking at one of them serves for all. Pure."""

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Iterator, Sequence

from catalog.conditions import Conditions
from catalog.windows import ALWAYS
from fitment.domain.facts import Joint, Variant

BUILT = "built"
OF_THE_PLACE = ("axle", "location")
"""What is the same for all variants at one place."""


def equivalent_variants(
    variants: Iterable[Variant], joints: Collection[Joint], conditions: Collection[Conditions]
) -> Iterator[Sequence[Variant]]:
    """Variants with one axle, in groups: all of a group have the same components, and meet the same conditions, on
    the same days and with the same options.

    joints: the rows of the place. conditions: whatever else is asked there of a car.
    """
    clauses = [clause for one in (*(joint.conditions for joint in joints), *conditions) for clause in one.clauses]
    names = {clause.attribute for clause in clauses if clause.option is None}
    by_options = any(clause.option is not None for clause in clauses)
    by_day = BUILT in names or any(joint.window != ALWAYS for joint in joints)
    texts = sorted("code" if name == "variant" else name for name in names.difference([BUILT], OF_THE_PLACE))
    groups: dict[Hashable, list[Variant]] = defaultdict(list)
    for variant in variants:
        read: list[Hashable] = [getattr(variant, name) for name in texts]
        if by_options:
            read += variant.options, variant.standard
        if by_day:
            read += variant.built_from, variant.built_to
        groups[tuple(read)].append(variant)
    yield from groups.values()
