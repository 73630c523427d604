"""A number of one issuer as its page shows it: what it is, its chain drawn, cars, upgrades, steps."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from catalog.codes import End, NumberKind
from catalog.selectors.parts import part_lines
from catalog.selectors.titles import step_titles
from fitment.answers.lookup import FastenerUse, Match, Target, Upgrade
from fitment.drawing.chain import ChainDrawing, ChainLink, NumberTag, chain_drawing
from fitment.pages.number.cars import NumberCarRow, car_rows, component_query
from fitment.pages.shared.addresses import address
from fitment.readers.names import names
from fitment.text.fit import verdict_words
from fitment.text.lookup import exchange_words, side_words
from fitment.text.names import Names


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
    cars: list[NumberCarRow]
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


def number_address(number: str, issuer: str | None = None) -> str:
    """The page of a number, whatever signs it holds.

    >>> number_address("EB 3/111-01")
    '/number/EB%203%2F111-01/'
    """
    return address(f"/number/{quote(number, safe='')}/", {"issuer": [issuer]} if issuer else {})


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
        cars=car_rows(match.cars),
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
