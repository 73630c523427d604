"""The figures of a job as pages write them: hours, minutes, grade, at home or not."""

from dataclasses import dataclass
from fractions import Fraction

from fitment.answers.job import Home, JobSummary
from fitment.pages.shared.addresses import address
from fitment.query.job_parameters import JobRequest

GRADES = (
    "", "1, with a first set of tools", "2, with some practice", "3, an experienced fitter",
    "4, a workshop", "5, a specialist",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class JobLine:
    """What an answer says of its job. `planned`: whether a way in is recorded; without one the rest is empty."""

    planned: bool
    href: str = ""
    hours: str = ""
    hours_p80: str = ""
    grade: int = 0
    grade_words: str = ""
    tools: int = 0
    after: str = ""
    home: str = ""


def job_line(found: tuple[JobSummary, JobRequest] | None) -> JobLine:
    if found is None:
        return JobLine(False)
    summary, request = found
    return JobLine(
        planned=True,
        href=job_address(request),
        hours=hours(summary.hours),
        hours_p80=hours(summary.hours_p80),
        grade=summary.grade,
        grade_words=GRADES[summary.grade],
        tools=summary.tools,
        after=minutes(summary.after_minutes) if summary.after_work else "",
        home=home_words(summary.home),
    )


def job_address(request: JobRequest) -> str:
    """The page of a job; what is the default is left out of the address."""
    query: dict[str, list[str]] = {}
    for name, value in request.parameters():
        if (name, value) not in (("side", "both"), ("equipment", "shop")):
            query.setdefault(name, []).append(value)
    return address("/job/", query)


def home_words(home: Home) -> str:
    """Whether it can be done at home, and what of it cannot."""
    if not home.possible:
        return "Not at home"
    if home.bench_elsewhere and home.elsewhere:
        return "At home, but the bench work and part of the after-work elsewhere"
    if home.bench_elsewhere:
        return "At home, but the bench work elsewhere"
    return "At home, but part of the after-work elsewhere" if home.elsewhere else "Also at home"


def hours(value: float) -> str:
    """Hours of the trade, to the tenth.

    >>> hours(1.2000000000000002)
    '1.2'
    """
    return f"{value:.1f}"


def minutes(value: Fraction | float | None) -> str:
    """Whole minutes; a dash where the work is done elsewhere.

    >>> minutes(Fraction(137, 2)), minutes(None)
    ('69', '-')
    """
    return "-" if value is None else str(int(float(value) + 0.5))
