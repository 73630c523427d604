"""Which answers of which cars a change could touch: places of axles with their parts, and whole cars."""

from collections import defaultdict
from dataclasses import dataclass, field

from django.db.models import Q

from catalog.models import Joint, Variant
from fitment.domain import facts as pure
from fitment.domain.facts import Place
from fitment.models import FitDecision
from fitment.services.catalogue.touched import Touched

EVERYWHERE = ""  # stands for every location of an axle


@dataclass
class Scope:
    """By axle and location the codes of the parts touched (None: all), and the cars touched as a whole."""

    cells: dict[str, dict[str, set[str] | None]] = field(default_factory=lambda: defaultdict(dict))
    variants: set[str] = field(default_factory=set)

    def add(self, axle: str, location: str, part: str | None) -> None:
        parts = self.cells[axle].setdefault(location, set())
        if part is None:
            self.cells[axle][location] = None
        elif parts is not None:
            parts.add(part)

    def wants(self, variant: pure.Variant, place: Place, part: str) -> bool:
        """Whether the answer of a car at a place could change."""
        if variant.code in self.variants:
            return True
        end, location = place
        by_location = self.cells.get(variant.axle(end) or "", {})
        return any(
            at in by_location and (by_location[at] is None or part in (by_location[at] or ()))
            for at in (EVERYWHERE, location)
        )

    def parts(self) -> set[str] | None:
        """The parts whose facts are read, None for all."""
        found: set[str] = set()
        for by_location in self.cells.values():
            for parts in by_location.values():
                if parts is None:
                    return None
                found |= parts
        return found

    def locations(self) -> set[str] | None:
        """The location codes whose joints are read, None for all."""
        found = {location for by_location in self.cells.values() for location in by_location}
        return None if EVERYWHERE in found else found

    def cars(self) -> list[str]:
        """The variants with an axle in the scope, by code, without those touched as a whole."""
        axles = list(self.cells)
        rows = Variant.objects.filter(Q(front_axle__code__in=axles) | Q(rear_axle__code__in=axles))
        return [code for code in rows.order_by("code").values_list("code", flat=True) if code not in self.variants]


def scope_of(touched: Touched) -> Scope:
    """The scope of what is touched, by the joints and decisions that stand now.

    A joint or decision that comes with the change is itself touched, so what stands now is enough.
    """
    scope = Scope(variants=set(touched.variants))
    for axle in touched.axles:
        scope.add(axle, EVERYWHERE, None)
    for axle, location in touched.places:
        scope.add(axle, location, None)
    pairs = set(touched.pairs)
    rows = FitDecision.objects.filter(revision__part__code__in=touched.parts).order_by()
    pairs.update(rows.values_list("revision__part__code", "component__code").distinct())
    parts_on: dict[str, set[str]] = defaultdict(set)
    for part, component in pairs:
        parts_on[component].add(part)
    sits = Joint.objects.filter(component__code__in={*parts_on, *touched.components}).order_by()
    for axle, location, component in sits.values_list("axle__code", "location__code", "component__code").distinct():
        if component in touched.components:
            scope.add(axle, location, None)
        for part in parts_on.get(component, ()):
            scope.add(axle, location, part)
    return scope
