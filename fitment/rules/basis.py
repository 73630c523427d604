"""How well a 'fits' is known: by which evidence, strongest first. Pure."""

from catalog.codes import REPLACES, Basis
from fitment.domain.facts import Facts, Part, Revision, Variant
from fitment.rules.outcome import Ruling, ruling, tests_at
from fitment.rules.residual import OptionBits


class Evidence:
    """What stands behind a revision on a component at a place of a variant.

    The rulings of earlier revisions are kept, newest first: a build day or an option may change the basis by them.
    """

    def __init__(
        self,
        facts: Facts,
        part: Part,
        revision: Revision,
        component: str,
        axle: str,
        location: str,
        variant: Variant,
        bits: OptionBits,
    ) -> None:
        self.component = component
        self._own = fitted(revision, component, axle, location, variant)
        self._earlier: list[tuple[str, Ruling]] = []
        self._always = Basis.DECLARED
        if _same_component(revision, component, axle):
            self._always = Basis.SAME_COMPONENT
        elif (part.code, revision.letter, component, axle, location) in facts.drops_in:
            self._always = Basis.MEASURED
        if self._own is None:
            for earlier in _carried_from(part, revision):
                if fitted(earlier, component, axle, location, variant) is not None:
                    seen = ruling(earlier, component, axle, location, variant, bits)
                    self._earlier.append((earlier.letter, seen))

    @property
    def bits(self) -> int:
        bits = 0
        for _, earlier in self._earlier:
            bits |= earlier.bits
        return bits

    @property
    def cuts(self) -> frozenset[int]:
        return frozenset().union(*(earlier.cuts for _, earlier in self._earlier))

    def basis(self, day: int, options: int) -> Basis:
        """The strongest basis on one possible car that the revision fits (so no failure of its own stands)."""
        if self._own is not None:
            return self._own
        return self._always if self.carried_from(day, options) is None else Basis.CARRIED_OVER

    def carried_from(self, day: int, options: int) -> str | None:
        """The letter of the newest earlier revision whose fitting carries over to one possible car."""
        letters = (letter for letter, earlier in self._earlier if not earlier.failing(day, options))
        return next(letters, None)


def fitted(revision: Revision, component: str, axle: str, location: str, variant: Variant) -> Basis | None:
    """Whether the revision passed there, and on a car of this drivetrain and steering side or a sibling."""
    passes = [test for test in tests_at(revision, component, axle, location) if test.passed]
    if not passes:
        return None
    car = (variant.drivetrain, variant.steering)
    same = any((test.drivetrain, test.steering) == car for test in passes)
    return Basis.FITTED if same else Basis.FITTED_SIBLING


def _carried_from(part: Part, revision: Revision) -> list[Revision]:
    """The earlier revisions that an unbroken run of exchanges, of any status, leads on to this one."""
    place = part.revisions.index(revision)
    found: list[Revision] = []
    while place > 0 and part.revisions[place].exchange in REPLACES:
        place -= 1
        found.append(part.revisions[place])
    return found


def _same_component(revision: Revision, component: str, axle: str) -> bool:
    return any(test.passed and test.axle != axle for test in revision.tests.get(component, ()))


def weakest(several: set[Basis]) -> Basis | None:
    """The weakest of several, None of none."""
    return max(several, key=lambda basis: basis.rank, default=None)
