"""The state of the desk is its address: the car, the basket, how the job is done, what was last said. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from fitment.pages.shared.addresses import Query, address, with_value, without_value
from fitment.query.job_parameters import MOST_PARTS

PATH = "/desk/"
ANSWER_PATH = "/desk/answer/"
LOG_PATH = "/desk/log/"
SAID = "said"
OF_THE_JOB = ("part", "side", "equipment", "units")
_REPEATABLE = ("skip", "part")


@dataclass(frozen=True, slots=True)
class DeskState:
    """`query`: everything but what was last said."""

    query: Query
    said: str = ""

    @property
    def car(self) -> Query:
        """The parameters of the question: the car, and what is not known of it."""
        return {name: values for name, values in self.query.items() if name not in OF_THE_JOB}

    @property
    def job(self) -> Query:
        """The parameters of the job: the car and the basket."""
        return {name: values for name, values in self.query.items() if name not in ("skip", "units")}

    @property
    def parts(self) -> list[str]:
        return self.query.get("part", [])

    @property
    def full(self) -> bool:
        return len(self.parts) >= MOST_PARTS

    @property
    def stated(self) -> bool:
        """Whether anything of the car is stated."""
        return any(name != "skip" for name in self.car)

    @property
    def here(self) -> str:
        """The address as it stands, without what was last said."""
        return address(PATH, self.query)

    def with_part(self, part: str) -> str:
        return address(PATH, with_value(self.query, "part", part), at="")

    def without_part(self, part: str) -> str:
        return address(PATH, without_value(self.query, "part", part))

    def without(self, name: str) -> str:
        return address(PATH, self.query, dropping=[name])


def desk_of(query: Query) -> DeskState:
    return DeskState({name: values for name, values in query.items() if name != SAID}, query.get(SAID, [""])[0])


def stated(query: Query, more: Mapping[str, Iterable[str]]) -> dict[str, list[str]]:
    """A query with what was just said: a fact said again is corrected, parts are added to the basket.

    >>> stated({"chassis": ["QN4"], "skip": ["engine"], "part": ["A"]}, {"engine": ["E20"], "part": ["A", "B"]})
    {'chassis': ['QN4'], 'part': ['A', 'B'], 'engine': ['E20']}
    """
    kept = {name: list(values) for name, values in query.items()}
    for name, values in more.items():
        if name in _REPEATABLE:
            before = kept.setdefault(name, [])
            before += [value for value in values if value not in before]
        else:
            kept[name] = list(values)
            kept["skip"] = [skipped for skipped in kept.get("skip", []) if skipped != name]
    return {name: values for name, values in kept.items() if values}
