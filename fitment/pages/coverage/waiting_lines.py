"""Uncovered cars by condition as they are read: who they are, what stands against, and the way to decide on them."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from fitment.coverage.component_verdicts import RevisionKey
from fitment.coverage.uncovered_groups import GroupVerdicts, UncoveredGroup
from fitment.pages.coverage.matrix import whole
from fitment.pages.shared.addresses import address

SAYINGS = (
    ("rejected", "rejected"),
    ("failed", "failed in a test"),
    ("proposed", "proposed"),
    ("tried", "passed on such a car"),
)
REVISIONS_SHOWN = 4


@dataclass(frozen=True, slots=True)
class Saying:
    """What is said of some revisions on these cars; `more` are not named."""

    words: str
    revisions: tuple[RevisionKey, ...]
    more: int


@dataclass(frozen=True, slots=True)
class WaitingLine:
    conditions: str
    cars: str
    variants: tuple[tuple[str, str], ...]
    sayings: tuple[Saying, ...]
    decide: str


def waiting_lines(groups: Sequence[UncoveredGroup], cell: str) -> list[WaitingLine]:
    """The groups of a cell at this address; `decide` opens its form with exactly the conditions of the group."""
    return [
        WaitingLine(
            str(group.conditions),
            whole(group.cars),
            tuple((code, address("/car/", {"variant": [code]})) for code in group.variants),
            tuple(_sayings(group.verdicts)),
            f"{cell}&{urlencode({'conditions': str(group.conditions)})}#decide",
        )
        for group in groups
    ]


def standing_texts(standing: GroupVerdicts) -> list[str]:
    """The columns of SAYINGS as a file has them."""
    return [" ".join(f"{part}-{letter}" for part, letter in getattr(standing, name)) for name, _ in SAYINGS]


def _sayings(standing: GroupVerdicts) -> list[Saying]:
    found = []
    for name, words in SAYINGS:
        revisions = sorted(getattr(standing, name))
        if revisions:
            shown = tuple(revisions[:REVISIONS_SHOWN])
            found.append(Saying(words, shown, len(revisions) - len(shown)))
    return found
