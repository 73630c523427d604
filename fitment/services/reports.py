"""A load's report as a file: JSON, CSV of the answers that change, or the lines that the command prints."""

import csv
import json
from pathlib import Path

from catalog.workbook.report import Report, answer_text

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
    rows = []
    for answer in report.differences.answers:
        rows.append(("answer", answer.axle, answer.end, answer.location, answer.part, answer_text(answer.before),
                     answer_text(answer.after), " ".join(answer.variants), str(answer.in_operation)))  # fmt: skip
    for job in report.differences.minutes:
        rows.append(("minutes", job.axle, job.end, job.location, job.part, str(job.before or ""),
                     str(job.after or ""), " ".join(job.variants), str(job.in_operation)))  # fmt: skip
    return rows
