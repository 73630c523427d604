"""What the page of a number shows: what it stands for, its chain, cars and upgrades; what a stamp says."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.codes import End, NumberKind, Status, Verdict
from catalog.selectors.parts import part_lines
from catalog.selectors.titles import step_titles
from fitment.answers.lookup import FastenerUse, Match, StampAnswer, Target, Upgrade
from fitment.drawing.chain import ChainDrawing, ChainLink, NumberTag, chain_drawing
from fitment.pages.car.answers import HoldView
from fitment.pages.shared.addresses import address, number_address
from fitment.pages.shared.car_rows import CarsRow, component_query, rows_of_number, rows_of_part
from fitment.readers.vocabulary import names
from fitment.services.fit.part_cars import part_cars
from fitment.text.fit import rule_words, verdict_words
from fitment.text.lookup import exchange_words, side_words
from fitment.text.names import Names

# The part's own page has the rest.
MOST_ROWS = 20


@dataclass(frozen=True, slots=True)
class TargetView:
    """What a number stands for: a part of ours (`href`) or an original joint."""

    code: str
    title: str
    href: str
    revision: str
    side: str


@dataclass(frozen=True, slots=True)
class NumberLink:
    number: str
    href: str
    rework: bool = False


@dataclass(frozen=True, slots=True)
class LinkWords:
    words: str
    ends: tuple[NumberLink, NumberLink]


@dataclass(frozen=True, slots=True)
class UpgradeView:
    part: str
    title: str
    revision: str
    others: tuple[str, ...]
    href: str
    component: str
    place: str
    end: str
    cars: str
    verdict: str
    word: str


@dataclass(frozen=True, slots=True)
class StepView:
    axle: str
    axle_title: str
    step: str
    fastener: str


@dataclass(frozen=True, slots=True)
class MatchView:
    """`via`: the numbers forwards that say what this one is, where its own row does not."""

    id: str
    issuer: str
    number: str
    kind: str
    via: tuple[NumberLink, ...]
    targets: tuple[TargetView, ...]
    drawing: ChainDrawing | None
    tags: tuple[tuple[NumberTag, str], ...]
    links: tuple[LinkWords, ...]
    current: tuple[NumberLink, ...]
    instead: tuple[NumberLink, ...]
    replaces: tuple[NumberLink, ...]
    cars: list[CarsRow]
    car_count: int
    upgrades: tuple[UpgradeView, ...]
    steps: tuple[StepView, ...]

    @property
    def is_current(self) -> bool:
        return [each.number for each in self.current] == [self.number]

    @property
    def has_joint(self) -> bool:
        return any(not target.href for target in self.targets)

    @property
    def unanswered(self) -> bool:
        """Nothing is known of it, or nothing of ours replaces it: worth counting that somebody asked."""
        return not (self.targets or self.steps) or (self.has_joint and not self.upgrades)


def match_view(match: Match, position: int) -> MatchView:
    called = names()
    ours = {one.part for one in match.targets if one.part} | {one.part for one in match.upgrades}
    parts = part_lines(codes=ours)

    def link(number: str, rework: bool = False) -> NumberLink:
        return NumberLink(number, number_address(number, match.issuer), rework)

    links = [ChainLink(*one) for one in match.links]
    drawn = chain_drawing(match.number, links) if links else None
    return MatchView(
        id=f"n{position}",
        issuer=match.issuer,
        number=match.number,
        kind=NumberKind.word_of(match.kind),
        via=tuple(link(number) for number in dict.fromkeys(one.via for one in match.targets if one.via)),
        targets=tuple(_targets(match.targets, called, {code: line.title for code, line in parts.items()})),
        drawing=drawn,
        tags=tuple((tag, number_address(tag.number, match.issuer)) for tag in drawn.tags) if drawn else (),
        links=tuple(
            LinkWords(exchange_words(one.old, one.new, one.exchange), (link(one.old), link(one.new))) for one in links
        ),
        current=tuple(link(one.number, one.with_rework) for one in match.current),
        instead=tuple(link(one.number, one.with_rework) for one in match.replaced_by),
        replaces=tuple(link(one.number, one.with_rework) for one in match.replaces),
        cars=rows_of_number(match.cars),
        car_count=len({car.variant for row in match.cars for car in row.variants}),
        upgrades=tuple(
            _upgrade(one, called, parts[one.part].title if one.part in parts else "") for one in match.upgrades
        ),
        steps=tuple(_steps(match.fasteners)),
    )


def _targets(targets: Iterable[Target], called: Names, parts: dict[str, str]) -> Iterable[TargetView]:
    """Each thing once; a joint of both sides is one thing."""
    sides: dict[tuple[str, str, str], list[str]] = {}
    for one in targets:
        key = (one.component or "", one.part or "", one.revision or "")
        sides.setdefault(key, []).append(side_words(one.side))
    for (component, part, revision), each in sides.items():
        side = " and ".join(dict.fromkeys(word for word in each if word))
        if part:
            yield TargetView(part, parts.get(part, ""), f"/part/{part}/", revision, side)
        else:
            yield TargetView(component, called.components.get(component, ""), "", "", side)


def _upgrade(one: Upgrade, called: Names, title: str) -> UpgradeView:
    return UpgradeView(
        part=one.part,
        title=title,
        revision=one.revision or "",
        others=one.other_revisions,
        href=f"/part/{one.part}/",
        component=one.component,
        place=called.location(one.end, one.location),
        end=End.word_of(one.end),
        cars=address("/car/", {**component_query(one.component, one.end, one.location), "part": [one.part]}),
        verdict=one.verdict.value,
        word=verdict_words(one.verdict),
    )


def _steps(uses: tuple[FastenerUse, ...]) -> Iterable[StepView]:
    titles = step_titles(keys={(use.axle, use.operation) for use in uses}) if uses else {}
    for use in uses:
        axle, step = titles.get((use.axle, use.operation), (use.axle, use.operation))
        yield StepView(use.axle, axle, step, use.fastener)


@dataclass(frozen=True, slots=True)
class StampView:
    """`rules` are sentences; `cars` those that the part fits today, `more` how many rows are left out."""

    part: str
    title: str
    revision: str
    batch: str
    status: str
    released: bool
    holds: tuple[HoldView, ...]
    pairs_with: tuple[str, ...]
    rules: tuple[str, ...]
    cars: tuple[CarsRow, ...]
    more: int
    hold_href: str

    @property
    def href(self) -> str:
        return f"/part/{self.part}/"


def stamp_view(stamp: StampAnswer, *, staff: bool) -> StampView:
    line = part_lines(codes=[stamp.part]).get(stamp.part)
    rows = rows_of_part(row for row in part_cars(part=stamp.part) if row.verdict in (Verdict.FITS, Verdict.DEPENDS))
    return StampView(
        part=stamp.part,
        title=line.title if line else "",
        revision=stamp.revision,
        batch=stamp.batch,
        status=Status.word_of(stamp.status),
        released=stamp.status == "released",
        holds=tuple(map(HoldView.of, stamp.holds)),
        pairs_with=stamp.pairs_with,
        rules=tuple(rule_words(rule) for rule in stamp.rules),
        cars=tuple(rows[:MOST_ROWS]),
        more=max(0, len(rows) - MOST_ROWS),
        hold_href=f"/desk/hold/{stamp.part}/{stamp.revision}/" if staff and stamp.holds else "",
    )
