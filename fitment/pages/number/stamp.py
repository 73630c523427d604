"""A stamp on a part of ours as the number's page shows it: state, holds, what it pairs with, cars."""

from dataclasses import dataclass

from catalog.codes import Status, Verdict
from catalog.selectors.parts import part_lines
from fitment.answers.lookup import StampAnswer
from fitment.pages.car.answers import HoldView
from fitment.pages.part.car_rows import PartCarRow, rows_of
from fitment.services.fit.part_cars import part_cars
from fitment.text.dates import day_words
from fitment.text.fit import batch_words, rule_words

# The part's own page has the rest.
MOST_ROWS = 20


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
    cars: tuple[PartCarRow, ...]
    more: int
    hold_href: str

    @property
    def href(self) -> str:
        return f"/part/{self.part}/"


def stamp_view(stamp: StampAnswer, *, staff: bool) -> StampView:
    line = part_lines(codes=[stamp.part]).get(stamp.part)
    rows = rows_of(row for row in part_cars(part=stamp.part) if row.verdict in (Verdict.FITS, Verdict.DEPENDS))
    return StampView(
        part=stamp.part,
        title=line.title if line else "",
        revision=stamp.revision,
        batch=stamp.batch,
        status=Status.word_of(stamp.status),
        released=stamp.status == "released",
        holds=tuple(
            HoldView(batch_words(hold.batch_from, hold.batch_to), hold.look_for, day_words(hold.opened_on), hold.cause)
            for hold in stamp.holds
        ),
        pairs_with=stamp.pairs_with,
        rules=tuple(rule_words(rule) for rule in stamp.rules),
        cars=tuple(rows[:MOST_ROWS]),
        more=max(0, len(rows) - MOST_ROWS),
        hold_href=f"/desk/hold/{stamp.part}/{stamp.revision}/" if staff and stamp.holds else "",
    )
