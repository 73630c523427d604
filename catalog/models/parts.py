"""Designs we sell or develop, their revisions, kits, papers, rules and holds."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from catalog.codes import Duty, Hand, RevisionExchange, Rule, Seat, Status
from catalog.models.constraints import at_least_one, between, filled, flat, in_order, key, not_negative, one_of
from catalog.models.fields import Choice, Code, Count, Day, Link, Measure, OptionalLink, Owner, Text


class Part(models.Model):
    """A design: bench minutes per piece, sizes in mm, closure in micrometres, upkeep in km."""

    code = Code()
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
        constraints = flat(
            key("code"),
            filled("code", "title", "duty", "seat"),
            one_of("duty", Duty),
            one_of("seat", Seat),
            at_least_one("kit_pieces"),
            between("bench_skill", 1, 5),
            in_order("bench_min", "bench_likely"),
            in_order("bench_likely", "bench_max"),
            in_order("blank_outside_min_mm", "blank_outside_max_mm"),
            in_order("blank_sleeve_min_mm", "blank_sleeve_max_mm"),
            not_negative(
                "bench_min", "draw_up_mm", "clearance_mm", "offset_mm", "closure_um", "blank_outside_min_mm",
                "blank_sleeve_min_mm", "first_inspection_km", "interval_km", "play_limit_mm",
            ),
        )  # fmt: skip

    def __str__(self) -> str:
        return self.code


class PartBenchEquipment(models.Model):
    """Equipment of the bench work: of every group at least one alternative."""

    part = Owner("catalog.Part", "bench_equipment_rows")
    group = models.PositiveSmallIntegerField()
    position = models.PositiveSmallIntegerField()
    equipment = Link("catalog.Equipment", "bench_rows")

    class Meta:
        constraints = [key("part", "group", "position")]

    def __str__(self) -> str:
        return f"{self.part} {self.equipment}"


class KitItem(models.Model):
    """A piece in the bag of one kit."""

    part = Owner("catalog.Part", "kit_items")
    item = Code()
    title = Text()
    count = models.IntegerField()
    thread = Code(blank=True, default="")
    hand = Choice(Hand.choices)

    class Meta:
        constraints = flat(key("part", "item"), filled("item", "title"), at_least_one("count"), one_of("hand", Hand))

    def __str__(self) -> str:
        return f"{self.part} {self.item}"


class Revision(models.Model):
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
        constraints = flat(
            key("part", "letter"),
            filled("letter", "status"),
            one_of("status", Status),
            one_of("exchange", RevisionExchange),
            in_order("outside_min_mm", "outside_max_mm"),
            in_order("sleeve_min_mm", "sleeve_max_mm"),
            in_order("hole_min_mm", "hole_max_mm"),
            not_negative(
                "outside_min_mm", "body_length_mm", "sleeve_min_mm", "hole_min_mm", "taper_large_mm",
                "centre_offset_mm", "housing_bore_mm", "roughness_rz_um", "rotation_deg", "tilt_deg",
                "radial_stiffness_n_mm",
            ),
        )  # fmt: skip

    def __str__(self) -> str:
        return f"{self.part}-{self.letter}"


class Hold(models.Model):
    """A batch range of a revision stopped or recalled; both batches empty: the whole revision."""

    revision = Owner("catalog.Revision", "holds")
    batch_from = Code(blank=True, default="")
    batch_to = Code(blank=True, default="")
    cause = Text()
    look_for = Text()
    opened_on = models.DateField()
    closed_on = Day()

    class Meta:
        constraints = flat(
            key("revision", "batch_from"), filled("cause", "look_for"), in_order("opened_on", "closed_on")
        )

    def __str__(self) -> str:
        return f"{self.revision} {self.batch_from}..{self.batch_to}"


class Papers(models.Model):
    """An approval or report of a part by market; shown, never computed with."""

    part = Owner("catalog.Part", "papers")
    market = Code()
    kind = Code()
    reference = Text()
    valid_to = Day()
    conditions_text = Text()

    class Meta:
        verbose_name_plural = "papers"
        constraints = flat(key("part", "market", "kind"), filled("market", "kind", "reference"))

    def __str__(self) -> str:
        return f"{self.part} {self.market} {self.kind}"


class PartRule(models.Model):
    """What a part asks of others: requires, excludes, same revision both sides, replace in pairs."""

    part = Owner("catalog.Part", "rules")
    rule = Choice(Rule.choices)
    other = OptionalLink("catalog.Part", "named_in_rules")
    note = Text()

    class Meta:
        constraints = flat(key("part", "rule", "other", nulls_equal=True), filled("rule"), one_of("rule", Rule))

    def __str__(self) -> str:
        return f"{self.part} {self.rule}"
