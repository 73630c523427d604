"""What a changed row would change, against answering the cars it touches; alone and in a hundred times the catalogue.

The cars are answered twice, before and after, so a ratio near two is a preview that does nothing else.
"""

from io import StringIO

from django.conf import settings
from django.core.management import call_command

from catalog.models import Variant
from catalog.roles import Role
from fitment.description import Description, Question
from fitment.facts.editions import uncached
from fitment.services.answering import answer_question
from fitment.services.rows import row_mend
from tests.benchmarks.grown import grow
from tests.benchmarks.ratios import Ratio, compare

COPIES = 99
KEY = ("LM-210", "C", "T-4110", "", "approved")
AXLE = "TNF4"


def rows() -> list[Ratio]:
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
    alone = _preview("a decision withdrawn, previewed")
    grow(COPIES)
    cars = Variant.objects.count()
    large = _preview(f"the same among {cars:,} variants")
    growth = Ratio("a preview in the large catalogue", "in the small", large.seconds, alone.seconds, aim=2)
    return [alone, large, growth]


def _preview(what: str) -> Ratio:
    touched = list(Variant.objects.filter(front_axle__code=AXLE).values_list("code", flat=True))

    def answer() -> None:
        with uncached():
            for code in touched:
                answer_question(question=Question(car=Description(variant=code)), viewer=Role.PUBLIC, ask=False)

    def preview() -> None:
        report = row_mend(sheet="fit_decisions", key=KEY, values=None, actor=None, role=Role.EDITOR, check=True)
        assert report.differences.answers

    return compare(what, preview, f"answering the {len(touched)} cars", answer, rounds=5, aim=2)
