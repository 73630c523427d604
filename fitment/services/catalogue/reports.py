"""A load's report as a file: JSON, CSV of the answers that change, or the lines that the command prints."""

import csv
import json
from pathlib import Path

from catalog.workbook.report import Report, answer_text, minutes_text

_HEADS = ("what", "axle", "end", "location", "part", "before", "after", "variants", "in_operation")


def report_write(report: Report, path: Path) -> None:
    """Writes all of a report; the ending of the name says how. Raises OSError."""
    ending = path.suffix.lower()
    if ending == ".json":
        path.write_text(json.dumps(report.to_json(), indent=1, default=str) + "\n", encoding="utf-8")
    elif ending == ".csv":
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(_HEADS)
            writer.writerows(_answer_rows(report))
    else:
        path.write_text("\n".join(report.lines()) + "\n", encoding="utf-8")


def _answer_rows(report: Report) -> list[tuple[str, ...]]:
    answers = [
        ("answer", one.axle, one.end, one.location, one.part, answer_text(one.before), answer_text(one.after),
         " ".join(one.variants), str(one.in_operation))
        for one in report.differences.answers
    ]  # fmt: skip
    minutes = [
        ("minutes", one.axle, one.end, one.location, one.part, minutes_text(one.before), minutes_text(one.after),
         " ".join(one.variants), str(one.in_operation))
        for one in report.differences.minutes
    ]  # fmt: skip
    return [*answers, *minutes]
