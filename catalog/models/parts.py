"""Designs we sell or develop, their revisions, kits, papers, rules and holds."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from catalog.codes import Duty, Hand, RevisionExchange, Rule, Seat, Status
from catalog.models.bases import Coded, Fact, GroupedItem
from catalog.models.constraints import constraints_of, key
from catalog.models.fields import Choice, Code, Count, Day, Link, Measure, OptionalLink, Owner, Text
from catalog.sheets.parts import HOLDS, KIT_ITEMS, PAPERS, PART_RULES, PARTS, REVISIONS


class Part(Coded):
    """A design: bench minutes per piece, sizes in mm, closure in micrometres, upkeep in km."""

    title = Text()
    technology = Link("catalog.Technology", "parts")
    duty = Choice(Duty.choices)
    sealed = models.BooleanField(null=True, blank=True)
    kit_pieces = Count()
    seat = Choice(Seat.choices)
    bench_min = Measure(4)
    bench_likely = Measure(4)
    bench_max = Measure(4)
    bench_skill = Count()
    draw_up_mm = Measure()
    clearance_mm = Measure()
    offset_mm = Measure()
    closure_um = Measure()
    blank_outside_min_mm = Measure()
    blank_outside_max_mm = Measure()
    blank_sleeve_min_mm = Measure()
    blank_sleeve_max_mm = Measure()
    blank_holes_mm = ArrayField(models.DecimalField(max_digits=14, decimal_places=5), default=list, blank=True)
    first_inspection_km = Count()
    interval_km = Count()
    play_limit_mm = Measure()
    comfort = Text()
    upkeep = Text()

    class Meta:
        constraints = constraints_of(PARTS)


class PartBenchEquipment(GroupedItem):
    """Equipment of the bench work: of every group at least one alternative."""

    part = Owner("catalog.Part", "bench_equipment_rows")
    equipment = Link("catalog.Equipment", "bench_rows")

    class Meta:
        constraints = [key("part", "group", "position")]


class KitItem(Fact):
    """A piece in the bag of one kit."""

    part = Owner("catalog.Part", "kit_items")
    item = Code()
    title = Text()
    count = models.IntegerField()
    thread = Code(blank=True, default="")
    hand = Choice(Hand.choices)

    class Meta:
        constraints = constraints_of(KIT_ITEMS)


class Revision(Fact):
    """A lettered edition of a part; sizes in mm."""

    part = Owner("catalog.Part", "revisions")
    letter = models.CharField(max_length=12)
    status = Choice(Status.choices)
    released_on = Day()
    outside_min_mm = Measure()
    outside_max_mm = Measure()
    outside_class = Code(blank=True, default="")
    body_length_mm = Measure()
    sleeve_min_mm = Measure()
    sleeve_max_mm = Measure()
    hole_min_mm = Measure()
    hole_max_mm = Measure()
    taper = Code(blank=True, default="")
    taper_large_mm = Measure()
    centre_offset_mm = Measure()
    housing_bore_mm = Measure()
    material = OptionalLink("catalog.Material", "revisions")
    roughness_rz_um = Measure(4)
    rotation_deg = Measure(4)
    tilt_deg = Measure(4)
    radial_stiffness_n_mm = Measure(3)
    change = Text()
    reason = Text()
    exchange = Choice(RevisionExchange.choices)

    class Meta:
        constraints = constraints_of(REVISIONS)

    def __str__(self) -> str:
        return f"{self.part}-{self.letter}"


class Hold(Fact):
    """A batch range of a revision stopped or recalled; both batches empty: the whole revision."""

    revision = Owner("catalog.Revision", "holds")
    batch_from = Code(blank=True, default="")
    batch_to = Code(blank=True, default="")
    cause = Text()
    look_for = Text()
    opened_on = models.DateField()
    closed_on = Day()

    class Meta:
        constraints = constraints_of(HOLDS)


class Papers(Fact):
    """An approval or report of a part by market; shown, never computed with."""

    part = Owner("catalog.Part", "papers")
    market = Code()
    kind = Code()
    reference = Text()
    valid_to = Day()
    conditions_text = Text()

    class Meta:
        verbose_name_plural = "papers"
        constraints = constraints_of(PAPERS)


class PartRule(Fact):
    """What a part asks of others: requires, excludes, same revision both sides, replace in pairs."""

    part = Owner("catalog.Part", "rules")
    rule = Choice(Rule.choices)
    other = OptionalLink("catalog.Part", "named_in_rules")
    note = Text()

    class Meta:
        constraints = constraints_of(PART_RULES)
