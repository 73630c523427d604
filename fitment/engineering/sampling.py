"""Sizes known from samples: merge_samples, pooled and widened into tolerance intervals (ISO 16269-6)."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import fsum, sqrt

import numpy as np
from scipy.optimize import brentq
from scipy.special import chdtrc, ndtr, ndtri
from scipy.stats import norm

from fitment.engineering.constants import CONFIDENCE, CONTENT, POOLED_BELOW
from fitment.engineering.errors import BadSample
from fitment.engineering.tolerances import Interval

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(400)
_REACH = 9.0  # standard deviations of the mean that are integrated over; beyond lies less than 1e-18


@dataclass(frozen=True)
class Sample:
    """One measuring session, or several merge_samples: mm; the uncertainty is the instrument's (k = 1)."""

    mean_mm: float
    pieces: int
    spread_mm: float | None
    uncertainty_mm: float
    degrees: int | None = None

    @property
    def degrees_of_freedom(self) -> int:
        """What the spread rests on: pieces less one, or what merging left; zero without a spread."""
        if self.degrees is not None:
            return self.degrees
        return self.pieces - 1 if self.spread_mm is not None else 0


@dataclass(frozen=True)
class PooledSpread:
    """A spread in mm common to several samples, and its degrees of freedom."""

    spread_mm: float
    degrees_of_freedom: int


@dataclass(frozen=True)
class ToleranceInterval:
    """A size as the interval that holds nearly all pieces, with what it was computed from (mm; factor without unit)."""

    interval: Interval
    spread_mm: float
    pooled: bool
    degrees_of_freedom: int
    factor: float


@lru_cache(maxsize=4096)
def tolerance_factor(
    samples: int, degrees_of_freedom: int, content: float = CONTENT.value, confidence: float = CONFIDENCE.value
) -> float:
    """Exact two-sided factor k of a normal tolerance interval, mean +- k s.

    Args:
        samples: number of pieces behind the mean, at least 1
        degrees_of_freedom: those of s: ``samples - 1``, or the pooled ones, at least 1
        content, confidence: parts of one
    Returns: k, without unit
    Raises: BadSample: fewer than one sample or degree of freedom
    Notes: Solves the defining integral over the position of the mean; the usual closed form is 5 % off at two samples.
        Normal distribution is assumed.
    References: ISO 16269-6:2014, two-sided, unknown variance; several samples with a common variance for a pooled s.

    >>> round(tolerance_factor(5, 4), 3)
    5.077
    >>> round(tolerance_factor(3, 12), 4)
    3.4952
    """
    if samples < 1 or degrees_of_freedom < 1:
        raise BadSample("a tolerance interval needs a piece measured and a degree of freedom")
    reach = _REACH / sqrt(samples)
    positions = (_NODES + 1) * reach / 2
    density = 2 * norm.pdf(positions, scale=1 / sqrt(samples)) * _WEIGHTS * reach / 2
    squared_reach = _half_widths(positions, content) ** 2 * degrees_of_freedom

    def shortfall(factor: float) -> float:
        return float(density @ chdtrc(degrees_of_freedom, squared_reach / factor**2)) - confidence

    greatest = 10.0
    while shortfall(greatest) < 0:
        greatest *= 10
    return float(brentq(shortfall, 1e-3, greatest, xtol=1e-12, rtol=1e-13))


def merge_samples(rows: Sequence[Sample]) -> Sample:
    """All measuring sessions of one component and feature as one sample.

    Args:
        rows: sessions of the same size, mm
    Returns: one sample, mm: mean of all pieces, spread within and between the sessions, greatest uncertainty
    Raises: BadSample: no rows, or a session without a piece or with a negative spread
    Notes: A session of several pieces that recorded no spread adds to the mean, and to the spread only between
        sessions.
    References: Decomposition of the sum of squares; Montgomery, Design and Analysis of Experiments, section 3.3.

    >>> merge_samples([Sample(62.0, 2, 0.0, 0.002), Sample(62.03, 2, 0.0, 0.003)])
    Sample(mean_mm=62.015, pieces=4, spread_mm=0.01732050807568..., uncertainty_mm=0.003, degrees=3)
    """
    if not rows or any(row.pieces < 1 or (row.spread_mm or 0) < 0 for row in rows):
        raise BadSample("a sample needs at least one piece and a spread that is not negative")
    pieces = sum(row.pieces for row in rows)
    mean = fsum(row.pieces * row.mean_mm for row in rows) / pieces
    degrees, squares = len(rows) - 1, fsum(row.pieces * (row.mean_mm - mean) ** 2 for row in rows)
    for row in rows:
        degrees += row.degrees_of_freedom
        squares += row.degrees_of_freedom * (row.spread_mm or 0.0) ** 2
    spread = sqrt(squares / degrees) if degrees else None
    return Sample(mean, pieces, spread, max(row.uncertainty_mm for row in rows), degrees)


def pool_spread(samples: Sequence[Sample]) -> PooledSpread | None:
    """The spread common to several samples.

    Args:
        samples: merge_samples samples of the components made by one process, mm
    Returns: the common spread in mm and its degrees of freedom; None when no sample has any
    Notes: Assumes that the process has one spread whatever the size.
    References: s^2 = sum (n_j - 1) s_j^2 / sum (n_j - 1); Montgomery, section 2.4.1; ISO 3534-1.

    >>> pool_spread([Sample(62, 3, 0.003, 0), Sample(58, 5, 0.006, 0)])
    PooledSpread(spread_mm=0.00519615242270..., degrees_of_freedom=6)
    """
    degrees = sum(sample.degrees_of_freedom for sample in samples)
    if not degrees:
        return None
    squares = fsum(sample.degrees_of_freedom * (sample.spread_mm or 0.0) ** 2 for sample in samples)
    return PooledSpread(sqrt(squares / degrees), degrees)


def tolerance_interval(own: Sample, process: PooledSpread | None = None) -> ToleranceInterval:
    """A measured size as tolerance interval.

    Args:
        own: the merge_samples sample of the component, mm
        process: the pooled spread of its process and feature, mm, its own sample included
    Returns: the interval mean +- k sqrt(s^2 + u^2) in mm, with its terms
    Raises: BadSample: fewer than two pieces and nothing to pool with
    Notes: From ten pieces on the component's own spread counts, below it the pooled one with the pooled degrees of
        freedom (where another component has any).
    References: ISO 16269-6:2014 (95 % content, 95 % confidence); instrument uncertainty added in squares (JCGM 100,
        5.1.2).

    >>> size = tolerance_interval(Sample(61.98, 5, 0.006, 0.003))
    >>> round(size.interval.low, 6), round(size.interval.high, 6)
    (61.945943, 62.014057)
    """
    alone = pool_spread([own])
    shared = own.pieces < POOLED_BELOW.value and process is not None
    used = process if shared else alone
    if used is None:
        raise BadSample("one piece without the spread of its process says nothing of the others")
    factor = tolerance_factor(own.pieces, used.degrees_of_freedom)
    half = factor * sqrt(used.spread_mm**2 + own.uncertainty_mm**2)
    return ToleranceInterval(
        interval=Interval(own.mean_mm - half, own.mean_mm + half),
        spread_mm=used.spread_mm,
        pooled=used.degrees_of_freedom > own.degrees_of_freedom,
        degrees_of_freedom=used.degrees_of_freedom,
        factor=factor,
    )


def _half_widths(positions: np.ndarray, content: float) -> np.ndarray:
    """Half widths r with Phi(z + r) - Phi(z - r) = content, by Newton: concave beyond abs(z)."""
    widths = np.abs(positions) + ndtri((1 + content) / 2)
    for _ in range(60):
        excess = ndtr(positions + widths) - ndtr(positions - widths) - content
        step = excess / (norm.pdf(positions + widths) + norm.pdf(positions - widths))
        widths = widths - step
        if np.max(np.abs(step)) < 1e-14:
            break
    return np.asarray(widths)
