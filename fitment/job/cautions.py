"""The cautions of a job, each with the steps it belongs to."""

from collections.abc import Iterable
from dataclasses import dataclass

from fitment.domain.procedures import Operation, Workshop


@dataclass(frozen=True, slots=True)
class Caution:
    hazard: str
    title: str
    text: str
    operations: tuple[str, ...]


def cautions(workshop: Workshop, operations: Iterable[Operation]) -> list[Caution]:
    """One caution per hazard of the operations, in the order in which the job meets them."""
    named: dict[str, list[str]] = {}
    for operation in operations:
        for code in operation.hazards:
            named.setdefault(code, []).append(operation.name)
    return [
        Caution(code, hazard.title, hazard.caution, tuple(names))
        for code, names in named.items()
        if (hazard := workshop.hazards.get(code)) is not None
    ]
