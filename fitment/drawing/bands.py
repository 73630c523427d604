"""Tolerance bands: a feature's sizes on one horizontal scale, what overlaps badly hatched. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

WIDTH, LEFT, RIGHT = 440.0, 84.0, 16.0
TOP, BAND, STEP = 8.0, 15.0, 24.0
_FOOT = 26.0
_TICKS = 5  # about so many figures stand under a scale
_ROOM = 0.08  # of the span is left free on both sides


@dataclass(frozen=True, slots=True)
class Band:
    """A size from its least to its greatest, in the unit of the scale; equal for a single figure."""

    name: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Bar:
    """A band as drawn: `x` to `x + width`, its row's top `y`; a single figure is a line (`width` 0)."""

    name: str
    low: float
    high: float
    x: float
    width: float
    y: float

    @property
    def is_line(self) -> bool:
        """Whether it is too narrow to be drawn as an area."""
        return self.width < 2

    @property
    def middle(self) -> float:
        """The height of the words beside it."""
        return self.y + BAND / 2


@dataclass(frozen=True, slots=True)
class Tick:
    x: float
    figure: str


@dataclass(frozen=True, slots=True)
class Hatch:
    """A stretch of the scale where the limit is passed."""

    x: float
    width: float


@dataclass(frozen=True, slots=True)
class Bands:
    """In units of the view box `width` x `height`."""

    height: float
    bars: tuple[Bar, ...]
    ticks: tuple[Tick, ...]
    limit_x: float | None
    hatches: tuple[Hatch, ...]

    width = WIDTH
    left = LEFT
    band = BAND
    name_x = LEFT - 8

    @property
    def figure_y(self) -> float:
        return self.height - 6

    @property
    def axis_y(self) -> float:
        return self.height - _FOOT

    @property
    def right(self) -> float:
        return WIDTH - RIGHT


def bands(
    sizes: Sequence[Band], *, limit: float | None = None, at_least: bool | None = None, second: str = ""
) -> Bands | None:
    """Sizes over one another on a scale of their own; None where there is nothing to draw.

    `limit` is a tick across all rows; with `at_least` what lies below it is hatched, with False what lies above.
    `second` says where the second size belongs, `above` or `below` the first: the stretch in which pieces of both may
    meet the wrong way round is hatched.

    >>> drawn = bands([Band("bore", 61.961, 61.991), Band("body", 62.053, 62.072)])
    >>> [bar.name for bar in drawn.bars], drawn.bars[0].x < drawn.bars[1].x, drawn.hatches
    (['bore', 'body'], True, ())
    """
    ends = [end for size in sizes for end in (size.low, size.high)] + ([] if limit is None else [limit])
    if not sizes:
        return None
    low, high = min(ends), max(ends)
    span = high - low or max(abs(high), 1.0) * 0.01
    low, high = low - span * _ROOM, high + span * _ROOM
    scale = (WIDTH - LEFT - RIGHT) / (high - low)

    def x(value: float) -> float:
        return LEFT + (value - low) * scale

    bars = tuple(
        Bar(size.name, size.low, size.high, x(size.low), (size.high - size.low) * scale, TOP + STEP * at)
        for at, size in enumerate(sizes)
    )
    wrong = [*_beyond(sizes, limit, at_least), *_overlapping(sizes, second)]
    return Bands(
        height=TOP + STEP * len(bars) + 4 + _FOOT,
        bars=bars,
        ticks=tuple(Tick(x(value), figure) for value, figure in _figures(low, high)),
        limit_x=None if limit is None else x(limit),
        hatches=tuple(Hatch(x(first), (last - first) * scale) for first, last in wrong),
    )


def _beyond(sizes: Sequence[Band], limit: float | None, at_least: bool | None) -> list[tuple[float, float]]:
    """From the limit to the size that passes it farthest."""
    if limit is None or at_least is None:
        return []
    low, high = min(size.low for size in sizes), max(size.high for size in sizes)
    if at_least:
        return [(low, limit)] if low < limit else []
    return [(limit, high)] if high > limit else []


def _overlapping(sizes: Sequence[Band], second: str) -> list[tuple[float, float]]:
    """From the end of one of two sizes to the end of the other, where they lie the wrong way round."""
    if len(sizes) < 2 or not second:
        return []
    lower, upper = (sizes[0], sizes[1]) if second == "above" else (sizes[1], sizes[0])
    return [(upper.low, lower.high)] if upper.low < lower.high else []


def _figures(low: float, high: float) -> list[tuple[float, str]]:
    """Round figures of the scale, with as many decimals as their step needs."""
    step = 10 ** floor(log10((high - low) / _TICKS))
    step *= next(factor for factor in (1, 2, 5, 10) if (high - low) / (step * factor) <= _TICKS)
    decimals = max(0, -floor(log10(step) + 1e-9))
    return [(at * step, f"{at * step:.{decimals}f}") for at in range(ceil(low / step), floor(high / step) + 1)]
