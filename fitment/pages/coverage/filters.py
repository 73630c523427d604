"""What of the coverage is shown: filters in the address, the same for the pages and the files."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

from catalog.codes import CoverageState, End
from catalog.nearest import unknown
from fitment.coverage.cells import CoverageCell
from fitment.coverage.summaries import PlatformCoverage, WorkRow
from fitment.pages.shared.addresses import Query
from fitment.readers.names import names
from fitment.services.coverage.cells import Coverage
from fitment.text.coverage import LABELS

FILTERS = ("maker", "chassis", "end", "location", "state")
SWITCHES = ("uncovered", "demand")
Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Kept:
    """What the filters leave: platforms by location, cells, and the order of work."""

    platforms: list[PlatformCoverage]
    cells: list[CoverageCell]
    work: list[WorkRow]


class Filters:
    """The filters of an address, checked against what the coverage holds; `errors` by field."""

    def __init__(self, query: Query, whole: Coverage) -> None:
        self.query = {name: [v for v in query.get(name, []) if v] for name in (*FILTERS, *SWITCHES)}
        self.query = {name: values for name, values in self.query.items() if values}
        self.choices: Mapping[str, list[str]] = {
            "maker": sorted({row.maker for row in whole.platforms}),
            "chassis": sorted({row.chassis for row in whole.platforms}),
            "end": ["front", "rear"],
            "location": sorted({row.location for row in whole.platforms}),
            "state": [state.value for state in CoverageState],
        }
        self.errors: dict[str, str] = {}
        for name, known in self.choices.items():
            for value in self.query.get(name, []):
                if value not in known:
                    self.errors[name] = _sentence(unknown(name, value, known))
        for name in SWITCHES:
            if self.query.get(name, ["yes"]) != ["yes"]:
                self.errors[name] = "Write yes, or leave it out."

    def keep(self, whole: Coverage, work: Collection[WorkRow]) -> Kept:
        """The rows that every filter leaves; a state keeps a platform's location of whose cars some stand there."""
        asked = {row.cell.key for row in work if row.enquiries}
        cells = [cell for cell in whole.cells if self._keeps_cell(cell, asked)]
        kept = {(cell.key.axle, cell.key.component, cell.key.location) for cell in cells}
        platforms = [row for row in whole.platforms if self._keeps_platform(row, kept)]
        keys = {cell.key for cell in cells}
        return Kept(platforms, cells, [row for row in work if row.cell.key in keys])

    def _keeps_cell(self, cell: CoverageCell, asked: Collection[Any]) -> bool:
        return (
            any(self._has("maker", maker) and self._has("chassis", chassis) for maker, chassis in cell.count.platforms)
            and self._has("end", cell.end)
            and self._has("location", cell.key.location)
            and self._has("state", cell.state)
            and not ("uncovered" in self.query and not cell.uncovered)
            and not ("demand" in self.query and cell.key not in asked)
        )

    def _keeps_platform(self, row: PlatformCoverage, kept: Collection[tuple[str, str, str]]) -> bool:
        return (
            self._has("maker", row.maker)
            and self._has("chassis", row.chassis)
            and self._has("end", row.end)
            and self._has("location", row.location)
            and ("state" not in self.query or any(self._has("state", state) for state in row.states))
            and not ("uncovered" in self.query and not row.uncovered)
            and not (
                "demand" in self.query
                and not any((axle, component, row.location) in kept for axle, component in row.cells)
            )
        )

    def _has(self, name: str, value: str) -> bool:
        return name not in self.query or value in self.query[name]

    def fields(self) -> list[dict[str, Any]]:
        """The fields of the form, what was chosen kept; a value nobody knows stands with its error."""
        titles = names()
        labels: dict[str, tuple[str, str, Callable[[str], str]]] = {
            "maker": ("Maker", "all", lambda value: titles.makers.get(value, value)),
            "chassis": ("Chassis", "all", str),
            "end": ("End", "both", End.word_of),
            "location": ("Joint", "all", str),
            "state": ("State", "all", lambda value: LABELS[CoverageState(value)]),
        }
        return [
            {
                "name": name, "label": label, "empty": empty, "kind": "select",
                "value": self.query.get(name, [""])[0],
                "choices": [(value, words(value)) for value in self.choices[name]],
                "error": self.errors.get(name, ""),
                "described_by": f"f-{name}-error" if name in self.errors else "",
            }
            for name, (label, empty, words) in labels.items()
        ]  # fmt: skip

    @property
    def switches(self) -> list[tuple[str, str, bool]]:
        labels = {"uncovered": "Only with uncovered cars", "demand": "Only with enquiries"}
        return [(name, label, name in self.query) for name, label in labels.items()]


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + "."
