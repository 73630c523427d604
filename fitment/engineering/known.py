"""Which sizes of a component are known, and from where: stated limits first, else a tolerance interval."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fitment.domain.interfaces import Component
from fitment.engineering.errors import BadSample
from fitment.engineering.press_fit import Material
from fitment.engineering.sampling import Measured, Pool, Sample, measured_size
from fitment.engineering.tolerances import Interval

FEATURES = ("bore", "seat_length", "clevis_gap", "bolt", "taper_large", "centre_offset", "arm_outside")
"""The features of measurements, in the order in which sizes are shown."""

_SINGLE = frozenset({"arm_outside"})
_WITH_LIMITS = frozenset({"bore", "clevis_gap"})


@dataclass(frozen=True)
class KnownSize:
    """A size in mm: stated limits, or the sample it was measured on and, where that says enough, its interval."""

    feature: str
    interval: Interval | None
    sample: Sample | None = None
    measured: Measured | None = None

    @property
    def source(self) -> str:
        """``stated`` or ``measured``."""
        return "stated" if self.sample is None else "measured"


@dataclass(frozen=True)
class Sizes:
    """A component ready to be matched, and the sizes that this rests on."""

    component: Component
    known: tuple[KnownSize, ...]


def known_sizes(
    stated: Mapping[str, Interval], own: Mapping[str, Sample], process: Mapping[str, Pool]
) -> tuple[KnownSize, ...]:
    """Every stated and every measured size of a component.

    Parameters
    ----------
    stated : limits by feature, in mm
    own : the component's merged sample by feature, in mm
    process : the pooled spread of its process by feature, in mm

    Returns
    -------
    sizes in mm, stated before measured; a measured one without interval when its sample says too little

    Notes
    -----
    The arm's outside is a single figure: its mean, whatever the sample.

    References
    ----------
    :func:`fitment.engineering.sampling.measured_size`.

    Examples
    --------
    >>> sizes = known_sizes({"bolt": Interval(12, 12)}, {"bore": Sample(62.0, 1, None, 0.002)}, {})
    >>> [(size.feature, size.source, size.interval) for size in sizes]
    [('bore', 'measured', None), ('bolt', 'stated', Interval(low=12, high=12))]
    """
    found = []
    for feature in FEATURES:
        if feature in stated:
            found.append(KnownSize(feature, stated[feature]))
        if feature in own:
            sample = own[feature]
            try:
                measured = measured_size(sample, process.get(feature))
            except BadSample:
                measured = None
            interval = None if measured is None else measured.interval
            if feature in _SINGLE:
                interval = Interval(sample.mean_mm, sample.mean_mm)
            found.append(KnownSize(feature, interval, sample, measured))
    return tuple(found)


def sizes_of(
    code: str,
    known: Sequence[KnownSize],
    taper: Fraction | None = None,
    arm_material: Material | None = None,
    roughness_um: float | None = None,
    begun: Collection[str] = (),
) -> Sizes:
    """A component from its known sizes.

    Parameters
    ----------
    code : of the component
    known : its sizes, in mm
    taper : ratio without unit
    arm_material : MPa, per K
    roughness_um : Rz of the bore in micrometres
    begun : features with one limit of two

    Returns
    -------
    the component with one size in mm a feature, the stated one where there is one

    Notes
    -----
    A measured mean outside stated limits (bore, clevis gap) is named; it does not replace them.

    References
    ----------
    Definition of the project.

    Examples
    --------
    >>> known = known_sizes({"bore": Interval(62.0, 62.03)}, {"bore": Sample(62.05, 3, 0.01, 0.002)}, {})
    >>> sizes_of("C1", known).component.outside_stated
    ('bore',)
    """
    used: dict[str, Interval] = {}
    outside = []
    for size in known:
        if size.interval is not None:
            used.setdefault(size.feature, size.interval)
        if size.sample is not None and size.feature in _WITH_LIMITS and size.feature in used:
            limits = used[size.feature]
            if not limits.low <= size.sample.mean_mm <= limits.high:
                outside.append(size.feature)
    arm_outside = used.get("arm_outside")
    component = Component(
        code=code,
        bore=used.get("bore"),
        seat_length=used.get("seat_length"),
        clevis_gap=used.get("clevis_gap"),
        bolt=used.get("bolt"),
        taper=taper,
        taper_large=used.get("taper_large"),
        centre_offset=used.get("centre_offset"),
        arm_material=arm_material,
        arm_outside_mm=None if arm_outside is None else arm_outside.middle,
        roughness_um=roughness_um,
        outside_stated=tuple(outside),
        recorded=frozenset(begun) | {size.feature for size in known},
    )
    return Sizes(component, tuple(known))
