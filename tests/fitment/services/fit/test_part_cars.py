"""The cars of a part, and those of one revision whether or not it is for sale."""

from datetime import date

import pytest

from catalog.codes import Verdict
from fitment.services.fit.part_cars import part_cars, revision_cars, variants_of_part
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def small():
    factories.small_catalogue()


def test_a_part_has_an_interval_a_car_that_fills_its_window():
    found = part_cars(part="LM-210")
    assert [(row.variant, row.end, row.location) for row in found] == [
        ("QN4-20-SAL", "front", "tension_link.inner"),
        ("QN4-25-EST", "front", "tension_link.inner"),
    ]
    assert {(row.verdict, row.revision) for row in found} == {(Verdict.FITS, "B")}
    assert variants_of_part(part="LM-210") == ["QN4-20-SAL", "QN4-25-EST"]
    assert [row.variant for row in part_cars(part="LM-210", variants=["QN4-25-EST"])] == ["QN4-25-EST"]


def test_a_part_that_is_not_there_or_only_proposed_has_none():
    assert part_cars(part="LM-400") == part_cars(part="LM-999") == []
    assert variants_of_part(part="LM-400") == variants_of_part(part="LM-999") == []
    assert revision_cars(part="LM-999", revision="A") == revision_cars(part="LM-210", revision="Z") == []


def test_a_revision_that_is_withdrawn_or_held_still_sits_on_its_cars():
    assert [row.variant for row in revision_cars(part="LM-210", revision="A")] == ["QN4-20-SAL", "QN4-25-EST"]
    factories.hold(factories.revision("LM-210", "B"), batch_from="", batch_to="")
    factories.next_edition()
    assert [row.variant for row in revision_cars(part="LM-210", revision="B")] == ["QN4-20-SAL", "QN4-25-EST"]
    assert part_cars(part="LM-210") == []


def test_only_intervals_in_which_the_revision_fits_or_may_fit_count():
    other = factories.revision("LM-500", "A")
    factories.decision(other, conditions="engine = E25; built = 2016..")
    factories.next_edition()
    assert [(row.variant, row.built_from) for row in revision_cars(part="LM-500", revision="A")] == [
        ("QN4-25-EST", date(2016, 1, 1))
    ]
    assert {row.verdict for row in part_cars(part="LM-500")} == {Verdict.FITS, Verdict.NOT_KNOWN}
