"""Reads everything that matches of many components against many revisions need."""

from collections.abc import Collection

from fitment.engineering.matching import Matching
from fitment.readers.interfaces import read_component_sizes, read_place_demands, read_revisions


def read_matching(
    components: Collection[str] | None, parts: Collection[str] | None, axles: Collection[str] | None
) -> Matching:
    """The matches of these parts with these components at places of these axles; None: all (five queries)."""
    sizes = read_component_sizes(components)
    return Matching(
        components={code: size.component for code, size in sizes.items()},
        revisions={(one.part, one.letter): one for one in read_revisions(parts)},
        demands=read_place_demands(axles),
    )
