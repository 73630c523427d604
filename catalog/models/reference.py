"""Reference tables: what a step needs, what is dangerous about it, what things are made of."""

from django.db import models

from catalog.codes import EquipmentKind
from catalog.models.bases import Coded
from catalog.models.constraints import constraints_of
from catalog.models.fields import Choice, Count, Figure, Text
from catalog.sheets.reference import EQUIPMENT, HAZARDS, MATERIALS, TECHNOLOGIES


class Equipment(Coded):
    """A tool, or with kind `consumable` something used up; `home`: whether a home has it."""

    title = Text()
    kind = Choice(EquipmentKind.choices, default=EquipmentKind.TOOL)
    home = models.BooleanField(default=False)
    least_grade = Count()

    class Meta:
        verbose_name_plural = "equipment"
        constraints = constraints_of(EQUIPMENT)


class Hazard(Coded):
    """A danger to people or to the car, with the caution shown wherever a step brings it."""

    title = Text()
    least_grade = Count()
    caution = Text()

    class Meta:
        constraints = constraints_of(HAZARDS)


class Material(Coded):
    """Modulus and yield in MPa, expansion per kelvin."""

    title = Text()
    modulus_mpa = Figure(3)
    poisson = Figure(5)
    yield_mpa = Figure(3)
    expansion_per_k = models.DecimalField(max_digits=14, decimal_places=12)

    class Meta:
        constraints = constraints_of(MATERIALS)


class Technology(Coded):
    """A way to build a joint, and which movements it allows."""

    title = Text()
    allows_rotation = models.BooleanField()
    allows_tilt = models.BooleanField()
    solid = models.BooleanField()

    class Meta:
        verbose_name_plural = "technologies"
        constraints = constraints_of(TECHNOLOGIES)
