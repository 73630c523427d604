"""How a car is opened: operations, the ways to a joint, fasteners and what a part changes at them."""

from django.db import models

from catalog.codes import Head, IfAbsent, TightenAt
from catalog.models.constraints import at_least_one, between, filled, flat, in_order, key, not_negative, one_of
from catalog.models.fields import Choice, Code, Count, Figure, Link, Measure, Owner, Text


class Operation(models.Model):
    """One step of opening the car at an axle; three-point minutes to remove and to refit, exact."""

    axle = Owner("catalog.Axle", "operations")
    code = Code()
    title = Text()
    text = Text()
    watch_for = Text()
    zone = Code(blank=True, default="")
    per_side = models.BooleanField()
    remove_min = Figure(4)
    remove_likely = Figure(4)
    remove_max = Figure(4)
    refit_min = Figure(4)
    refit_likely = Figure(4)
    refit_max = Figure(4)
    skill = models.IntegerField()
    alignment = models.BooleanField(default=False)
    conditions = Text()
    if_absent = Choice(IfAbsent.choices)

    class Meta:
        constraints = flat(
            key("axle", "code"),
            filled("code", "title"),
            between("skill", 1, 5),
            one_of("if_absent", IfAbsent),
            in_order("remove_min", "remove_likely"),
            in_order("remove_likely", "remove_max"),
            in_order("refit_min", "refit_likely"),
            in_order("refit_likely", "refit_max"),
            not_negative("remove_min", "refit_min"),
            models.CheckConstraint(
                condition=models.Q(conditions="") | ~models.Q(if_absent=""),
                name="%(app_label)s_%(class)s_conditions_say_if_absent",
            ),
        )

    def __str__(self) -> str:
        return f"{self.axle}/{self.code}"


class OperationNeed(models.Model):
    """An operation that must come first: of every group at least one alternative."""

    operation = Owner("catalog.Operation", "need_rows")
    group = models.PositiveSmallIntegerField()
    position = models.PositiveSmallIntegerField()
    needed = Link("catalog.Operation", "needed_by_rows")

    class Meta:
        constraints = [key("operation", "group", "position")]

    def __str__(self) -> str:
        return f"{self.operation} needs {self.needed}"


class OperationEntail(models.Model):
    """An operation that must then be done too."""

    operation = Owner("catalog.Operation", "entail_rows")
    position = models.PositiveSmallIntegerField()
    entailed = Link("catalog.Operation", "entailed_by_rows")

    class Meta:
        constraints = [key("operation", "position")]

    def __str__(self) -> str:
        return f"{self.operation} entails {self.entailed}"


class OperationEquipment(models.Model):
    """Equipment of an operation: of every group at least one alternative."""

    operation = Owner("catalog.Operation", "equipment_rows")
    group = models.PositiveSmallIntegerField()
    position = models.PositiveSmallIntegerField()
    equipment = Link("catalog.Equipment", "operation_rows")

    class Meta:
        constraints = [key("operation", "group", "position")]

    def __str__(self) -> str:
        return f"{self.operation} {self.equipment}"


class OperationConsumable(models.Model):
    """Something an operation uses up."""

    operation = Owner("catalog.Operation", "consumable_rows")
    position = models.PositiveSmallIntegerField()
    consumable = Link("catalog.Equipment", "consumed_by_rows")

    class Meta:
        constraints = [key("operation", "position")]

    def __str__(self) -> str:
        return f"{self.operation} {self.consumable}"


class OperationHazard(models.Model):
    """A danger an operation brings."""

    operation = Owner("catalog.Operation", "hazard_rows")
    position = models.PositiveSmallIntegerField()
    hazard = Link("catalog.Hazard", "operation_rows")

    class Meta:
        constraints = [key("operation", "position")]

    def __str__(self) -> str:
        return f"{self.operation} {self.hazard}"


class Way(models.Model):
    """One way in to a joint, and whether the piece comes out of the car."""

    axle = Owner("catalog.Axle", "ways")
    location = Link("catalog.Location", "ways")
    code = Code()
    piece_out = models.BooleanField(default=False)

    class Meta:
        constraints = flat(key("axle", "location", "code"), filled("code"))

    def __str__(self) -> str:
        return f"{self.axle} {self.location} {self.code}"


class WayOperation(models.Model):
    """An operation that reaches the joint: of every group at least one alternative."""

    way = Owner("catalog.Way", "operation_rows")
    group = models.PositiveSmallIntegerField()
    position = models.PositiveSmallIntegerField()
    operation = Link("catalog.Operation", "way_rows")

    class Meta:
        constraints = [key("way", "group", "position")]

    def __str__(self) -> str:
        return f"{self.way} {self.operation}"


class Fastener(models.Model):
    """A screw, bolt or nut of an operation: torque in N m, angle in degrees."""

    operation = Owner("catalog.Operation", "fasteners")
    code = Code()
    number = Code(blank=True, default="")
    normal = Code(blank=True, default="", db_index=True)
    count = models.IntegerField()
    thread = Code(blank=True, default="")
    grade = Code(blank=True, default="")
    head = Choice(Head.choices)
    drive = Code(blank=True, default="")
    counter_hold = Code(blank=True, default="")
    torque_nm = Measure(3)
    angle_deg = Measure(3)
    tighten_at = Choice(TightenAt.choices)
    single_use = models.BooleanField(default=False)
    source = Text()
    note = Text()

    class Meta:
        constraints = flat(
            key("operation", "code"),
            filled("code"),
            at_least_one("count"),
            one_of("head", Head),
            one_of("tighten_at", TightenAt),
            not_negative("torque_nm", "angle_deg"),
        )

    def __str__(self) -> str:
        return f"{self.operation}/{self.code}"


class FastenerChange(models.Model):
    """What a revision changes at a fastener: pieces supplied per kit, torque, angle, locking."""

    revision = Owner("catalog.Revision", "fastener_changes")
    fastener = Owner("catalog.Fastener", "changes")
    supplied = Count()
    torque_nm = Measure(3)
    angle_deg = Measure(3)
    locking = Text()

    class Meta:
        constraints = flat(key("revision", "fastener"), not_negative("supplied", "torque_nm", "angle_deg"))

    def __str__(self) -> str:
        return f"{self.revision} {self.fastener}"
