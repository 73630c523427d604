"""Which sizes of a component are known, and from where: stated limits first, else a tolerance interval."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from catalog.codes import Measurable
from fitment.domain.interfaces import ComponentInterface
from fitment.engineering.errors import BadSample
from fitment.engineering.press_fit import MaterialProperties
from fitment.engineering.sampling import PooledSpread, Sample, tolerance_interval
from fitment.engineering.tolerances import Interval

_WITH_LIMITS = frozenset({Measurable.BORE, Measurable.CLEVIS_GAP})


@dataclass(frozen=True)
class StatedSize:
    """A size by its stated limits, in mm."""

    feature: Measurable
    low_mm: float
    high_mm: float
    source: Literal["stated"] = "stated"

    @property
    def interval(self) -> Interval:
        return Interval(self.low_mm, self.high_mm)


@dataclass(frozen=True)
class MeasuredSize:
    """A size by its tolerance interval, in mm, with what that was computed from; null where it takes more samples."""

    feature: Measurable
    low_mm: float | None
    high_mm: float | None
    mean_mm: float
    samples: int
    spread_mm: float | None
    pooled: bool
    degrees_of_freedom: int
    factor: float | None
    uncertainty_mm: float
    source: Literal["measured"] = "measured"

    @property
    def interval(self) -> Interval | None:
        return None if self.low_mm is None or self.high_mm is None else Interval(self.low_mm, self.high_mm)


KnownSize = StatedSize | MeasuredSize


@dataclass(frozen=True)
class ComponentSizes:
    """A component ready to be matched, and the sizes that this rests on."""

    component: ComponentInterface
    known: tuple[KnownSize, ...]


def component_sizes(
    code: str,
    stated: Mapping[str, Interval],
    own: Mapping[str, Sample],
    process: Mapping[str, PooledSpread],
    *,
    taper: Fraction | None = None,
    arm_material: MaterialProperties | None = None,
    roughness_um: float | None = None,
    begun: Collection[str] = (),
) -> ComponentSizes:
    """A component with one size a feature, the stated one where there is one, and everything known of its sizes.

    Args:
        code: of the component
        stated: limits by feature, in mm
        own: the component's merged sample by feature, in mm
        process: the pooled spread of its process by feature, in mm
        taper: ratio without unit
        arm_material: MPa, per K
        roughness_um: Rz of the bore in micrometres
        begun: features with one limit of two
    Returns: sizes in mm, stated before measured; a measured one without interval when its sample says too little
    Notes: The arm's outside is a single figure: its mean, whatever the sample. A measured mean outside stated limits
        (bore, clevis gap) is named; it does not replace them.
    References: ISO 16269-6:2014 for what is measured, through :func:`fitment.engineering.sampling.tolerance_interval`.

    >>> sizes = component_sizes("C1", {"bore": Interval(62.0, 62.03)}, {"bore": Sample(62.05, 1, None, 0.002)}, {})
    >>> [(size.source, size.interval) for size in sizes.known]
    [('stated', Interval(low=62.0, high=62.03)), ('measured', None)]
    >>> sizes.component.bore, [str(feature) for feature in sizes.component.outside_stated]
    (Interval(low=62.0, high=62.03), ['bore'])
    """
    known: list[KnownSize] = []
    for feature in Measurable:
        if feature in stated:
            known.append(StatedSize(feature, stated[feature].low, stated[feature].high))
        if feature in own:
            known.append(_measured(feature, own[feature], process.get(feature)))
    used: dict[str, Interval] = {}
    outside = []
    for size in known:
        if size.interval is not None:
            used.setdefault(size.feature, size.interval)
        if isinstance(size, MeasuredSize) and size.feature in _WITH_LIMITS:
            limits = used.get(size.feature)
            if limits is not None and size.mean_mm not in limits:
                outside.append(size.feature)
    arm_outside = used.get(Measurable.ARM_OUTSIDE)
    component = ComponentInterface(
        code=code,
        bore=used.get(Measurable.BORE),
        seat_length=used.get(Measurable.SEAT_LENGTH),
        clevis_gap=used.get(Measurable.CLEVIS_GAP),
        bolt=used.get(Measurable.BOLT),
        taper=taper,
        taper_large=used.get(Measurable.TAPER_LARGE),
        centre_offset=used.get(Measurable.CENTRE_OFFSET),
        arm_material=arm_material,
        arm_outside_mm=None if arm_outside is None else arm_outside.middle,
        roughness_um=roughness_um,
        outside_stated=tuple(outside),
        recorded=frozenset(begun) | {size.feature for size in known},
    )
    return ComponentSizes(component, tuple(known))


def _measured(feature: Measurable, sample: Sample, process: PooledSpread | None) -> MeasuredSize:
    try:
        found = tolerance_interval(sample, process)
    except BadSample:
        found = None
    interval = None if found is None else found.interval
    if feature is Measurable.ARM_OUTSIDE:
        interval = Interval(sample.mean_mm, sample.mean_mm)
    return MeasuredSize(
        feature,
        low_mm=None if interval is None else interval.low,
        high_mm=None if interval is None else interval.high,
        mean_mm=sample.mean_mm,
        samples=sample.pieces,
        spread_mm=sample.spread_mm if found is None else found.spread_mm,
        pooled=found is not None and found.pooled,
        degrees_of_freedom=sample.degrees_of_freedom if found is None else found.degrees_of_freedom,
        factor=None if found is None else found.factor,
        uncertainty_mm=sample.uncertainty_mm,
    )
