"""The axles of a car as they are drawn: joints numbered once for the drawing, its list and the answers."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from django.urls import reverse

from catalog.codes import End, LinkEnd
from catalog.selectors.cars import LocationRow
from fitment.answers.fit import Answer
from fitment.drawing.corner import CornerDrawing, DrawnLocation, JointMark, corner_layout
from fitment.drawing.scaled import corner_to_scale
from fitment.pages.car.answers import AnswerView
from fitment.readers.corners import AxleThere


@dataclass(frozen=True, slots=True)
class PlaceView:
    """A joint of the car: its number, what it is, what is offered there. `verdict` is that of the drawing.

    `cell` is the address of its coverage, for those who may see it.
    """

    key: str
    number: int
    end: str
    code: str
    title: str
    attached: str
    also_called: str
    verdict: str
    word: str
    answers: tuple[AnswerView, ...]
    unknown: str = ""
    cell: str = ""

    @property
    def newer_joints(self) -> tuple[str, ...]:
        """Warnings that the joint may be a newer one, each once, whichever part they came with."""
        return tuple(dict.fromkeys(text for each in self.answers for text in each.newer_joints))

    @property
    def href(self) -> str:
        return f"#{self.key}" if self.answers or self.unknown else ""


@dataclass(frozen=True, slots=True)
class SpotView:
    spot: JointMark
    place: PlaceView | None


@dataclass(frozen=True, slots=True)
class Drawing:
    id: str
    title: str
    layout: str
    corner: CornerDrawing
    spots: tuple[SpotView, ...]


@dataclass(frozen=True, slots=True)
class AxleView:
    """One end of the car. `unknown`: no axle recorded for `all` or `some` of the cars left, or empty."""

    end: str
    title: str
    drawings: tuple[Drawing, ...] = ()
    places: tuple[PlaceView, ...] = ()
    unknown: str = ""
    layouts: tuple[str, ...] = field(default=())


def axles_of(
    answer: Answer,
    layouts: Sequence[LocationRow],
    answers: Mapping[tuple[str, str], list[AnswerView]],
    known: Mapping[tuple[str, str], AxleThere],
) -> tuple[AxleView, ...]:
    """Both ends of the car with their joints; `answers` by (end, location).

    `known` are axles by (end, topology): their joints lead to coverage, and those with hardpoints are drawn to scale,
    the others schematic.
    """
    unknown_ends = {each.end: each.where for each in answer.unknown_axles}
    unknown_places = {(each.end, each.location): each.where for each in answer.unknown_locations}
    return tuple(
        _axle(
            end,
            [row for row in layouts if row.end == end],
            answers,
            {topology: axle for (at, topology), axle in known.items() if at == end},
            unknown_places,
            unknown_ends.get(end, ""),
        )
        for end in End
    )


def _axle(
    end: str,
    layouts: Sequence[LocationRow],
    answers: Mapping[tuple[str, str], list[AnswerView]],
    axles: Mapping[str, AxleThere],
    unknown_places: Mapping[tuple[str, str], str],
    unknown: str,
) -> AxleView:
    by_topology: dict[str, list[LocationRow]] = {}
    for row in layouts:
        by_topology.setdefault(row.topology, []).append(row)
    corners = {topology: _corner(rows, axles.get(topology)) for topology, rows in by_topology.items()}
    known = {row.code: row for rows in by_topology.values() for row in rows}
    in_order = list(dict.fromkeys(spot.code for corner in corners.values() for spot in corner.spots))
    in_order += sorted({code for at, code in answers if at == end} - set(in_order))
    shown = [
        code
        for code in in_order
        if (end, code) in answers or (end, code) in unknown_places or (code in known and known[code].in_range)
    ]
    places = {
        code: _place(
            end, code, number, known.get(code), answers.get((end, code), ()), unknown_places.get((end, code)), axles
        )
        for number, code in enumerate(shown, start=1)
    }
    drawings = tuple(
        Drawing(
            id=f"{end}-{position}",
            title=f"{End.word_of(end).capitalize()}, {by_topology[topology][0].topology_title}",
            layout=by_topology[topology][0].topology_title,
            corner=corner,
            spots=tuple(SpotView(spot, places.get(spot.code)) for spot in corner.spots),
        )
        for position, (topology, corner) in enumerate(corners.items(), start=1)
    )
    return AxleView(
        end=end,
        title=End.word_of(end).capitalize(),
        drawings=drawings,
        places=tuple(places.values()),
        unknown=unknown,
        layouts=tuple(drawing.layout for drawing in drawings),
    )


def _corner(rows: Iterable[LocationRow], axle: AxleThere | None) -> CornerDrawing:
    places = [DrawnLocation(row.code, row.link, row.link_end, row.role, row.in_range) for row in rows]
    return corner_to_scale(axle.corner, places) if axle is not None and axle.corner else corner_layout(places)


def _place(
    end: str,
    code: str,
    number: int,
    row: LocationRow | None,
    answers: Iterable[AnswerView],
    unknown: str | None,
    axles: Mapping[str, AxleThere],
) -> PlaceView:
    offered = tuple(answers)
    # Of several parts at one joint the drawing shows the best news, which stands first.
    best = offered[0].verdict if offered else "not_known" if unknown else "none"
    word = offered[0].word if offered else ""
    return PlaceView(
        key=place_key(end, code),
        number=number,
        end=end,
        code=code,
        title=row.title if row is not None and row.title else code,
        attached=LinkEnd.word_of(row.link_end) if row is not None else "",
        also_called=row.also_called if row is not None else "",
        verdict=best,
        word=word or ("Not known yet" if unknown else "No part of ours"),
        answers=offered,
        unknown=unknown or "",
        cell=_cell(row, axles) if row is not None and unknown != "all" else "",
    )


def _cell(row: LocationRow, axles: Mapping[str, AxleThere]) -> str:
    """The coverage of a joint in our range on the one axle that the cars have, if it is one."""
    axle = axles.get(row.topology)
    return reverse("coverage-cell", args=[axle.code, row.code]) if axle and row.in_range and len(axles) == 1 else ""


def place_key(end: str, location: str) -> str:
    """The fragment of a joint's answers in the page.

    >>> place_key("front", "tension_link.inner")
    'at-front-tension_link.inner'
    """
    return f"at-{end}-{location}"
