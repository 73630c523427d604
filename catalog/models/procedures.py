"""How a car is opened: operations, the ways to a joint, fasteners and what a part changes at them."""

from django.db import models

from catalog.codes import Head, IfAbsent, TightenAt
from catalog.models.bases import Fact, GroupedItem, ListedItem
from catalog.models.constraints import constraints_of, key
from catalog.models.fields import Choice, Code, Count, Figure, Link, Measure, Owner, Text
from catalog.sheets.procedures import FASTENER_CHANGES, FASTENERS, OPERATIONS
from catalog.sheets.suspension import WAYS


class Operation(Fact):
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
        constraints = constraints_of(
            OPERATIONS,
            models.CheckConstraint(
                condition=models.Q(conditions="") | ~models.Q(if_absent=""),
                name="%(app_label)s_%(class)s_conditions_say_if_absent",
            ),
        )

    def __str__(self) -> str:
        return f"{self.axle}/{self.code}"


class OperationNeed(GroupedItem):
    """An operation that must come first: of every group at least one alternative."""

    operation = Owner("catalog.Operation", "need_rows")
    needed = Link("catalog.Operation", "needed_by_rows")

    class Meta:
        constraints = [key("operation", "group", "position")]


class OperationEntail(ListedItem):
    """An operation that must then be done too."""

    operation = Owner("catalog.Operation", "entail_rows")
    entailed = Link("catalog.Operation", "entailed_by_rows")

    class Meta:
        constraints = [key("operation", "position")]


class OperationEquipment(GroupedItem):
    """Equipment of an operation: of every group at least one alternative."""

    operation = Owner("catalog.Operation", "equipment_rows")
    equipment = Link("catalog.Equipment", "operation_rows")

    class Meta:
        constraints = [key("operation", "group", "position")]


class OperationConsumable(ListedItem):
    """Something an operation uses up."""

    operation = Owner("catalog.Operation", "consumable_rows")
    consumable = Link("catalog.Equipment", "consumed_by_rows")

    class Meta:
        constraints = [key("operation", "position")]


class OperationHazard(ListedItem):
    """A danger an operation brings."""

    operation = Owner("catalog.Operation", "hazard_rows")
    hazard = Link("catalog.Hazard", "operation_rows")

    class Meta:
        constraints = [key("operation", "position")]


class Way(Fact):
    """One way in to a joint, and whether the piece comes out of the car."""

    axle = Owner("catalog.Axle", "ways")
    location = Link("catalog.Location", "ways")
    code = Code()
    piece_out = models.BooleanField(default=False)

    class Meta:
        constraints = constraints_of(WAYS)


class WayOperation(GroupedItem):
    """An operation that reaches the joint: of every group at least one alternative."""

    way = Owner("catalog.Way", "operation_rows")
    operation = Link("catalog.Operation", "way_rows")

    class Meta:
        constraints = [key("way", "group", "position")]


class Fastener(Fact):
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
        constraints = constraints_of(FASTENERS)

    def __str__(self) -> str:
        return f"{self.operation}/{self.code}"


class FastenerChange(Fact):
    """What a revision changes at a fastener: pieces supplied per kit, torque, angle, locking."""

    revision = Owner("catalog.Revision", "fastener_changes")
    fastener = Owner("catalog.Fastener", "changes")
    supplied = Count()
    torque_nm = Measure(3)
    angle_deg = Measure(3)
    locking = Text()

    class Meta:
        constraints = constraints_of(FASTENER_CHANGES)
