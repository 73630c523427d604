"""What a changed row would change, against answering the cars it touches; in the demo, in 10 and 100 times of it.

As `load_catalogue --check` of a file with one row does it, and as the editor's page does. The cars are answered twice,
before and after, so a ratio near two is a preview that does nothing else. The facts of the cars that are answered are
read once, as they are for a preview.
"""

from io import StringIO

from django.conf import settings
from django.core.management import call_command

from catalog.codes import Role
from catalog.models import Variant
from catalog.workbook.dumping import zipped
from catalog.workbook.reading import Source
from catalog.workbook.report import Report
from fitment.domain.description import Description, Question
from fitment.readers.editions import forget
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.catalogue.rows import row_edit
from fitment.services.fit.answering import answer_question
from tests.benchmarks.grown import grow
from tests.benchmarks.ratios import Ratio, compare

SIZES = (1, 10, 100)
DEMO = settings.ROOT / "fixtures" / "demo"
KEY = ("LM-210", "C", "T-4110", "", "approved")
AXLE = "TNF4"


def rows() -> list[Ratio]:
    found: list[Ratio] = []
    files: list[Ratio] = []
    changed = _one_row()
    for size in SIZES:
        call_command("flush", interactive=False, verbosity=0)
        call_command("load_catalogue", str(DEMO), stdout=StringIO())
        if size > 1:
            grow(size - 1)
        cars = f"among {Variant.objects.count():,} variants"
        files.append(_preview(f"a file of one row checked, {cars}", lambda: _check(changed)))
        found += [files[-1], _preview(f"a decision withdrawn on the page, {cars}", _withdraw)]
    one, *larger = files
    return found + [
        Ratio(f"{size} times the catalogue, one row checked", "in the small", of.seconds, one.seconds, aim=2)
        for size, of in zip(SIZES[1:], larger, strict=True)
    ]


def _one_row() -> Source:
    """The demo's decision of the key, turned into a rejection; it is alone in its group."""
    head, *lines = (DEMO / "fit_decisions.csv").read_text().splitlines()
    (line,) = (line for line in lines if line.startswith(",".join(KEY[:3]) + ","))
    text = f"{head}\n{line.replace(',approved,', ',rejected,')}\n"
    return Source("one row", data=zipped([("fit_decisions.csv", text.encode())]))


def _check(changed: Source) -> Report:
    return catalogue_load(source=changed, check=True)


def _withdraw() -> Report:
    return row_edit(sheet="fit_decisions", key=KEY, values=None, actor=None, role=Role.EDITOR, check=True)


def _preview(what: str, work) -> Ratio:
    touched = list(Variant.objects.filter(front_axle__code=AXLE).values_list("code", flat=True))

    def answer() -> None:
        forget()
        for code in touched:
            answer_question(question=Question(car=Description(variant=code)), viewer=Role.PUBLIC, ask=False)

    def preview() -> None:
        report = work()
        assert not report.refused, report.lines(most=10)
        assert report.differences.answers

    return compare(what, preview, f"answering the {len(touched)} cars", answer, rounds=5, aim=2)
