"""Reference tables: what a step needs, what is dangerous about it, what things are made of."""

from django.db import models

from catalog.codes import EquipmentKind
from catalog.models.constraints import between, filled, flat, key, not_negative, one_of
from catalog.models.fields import Choice, Code, Count, Figure, Text


class Equipment(models.Model):
    """A tool, or with kind `consumable` something used up; `home`: whether a home has it."""

    code = Code()
    title = Text()
    kind = Choice(EquipmentKind.choices, default=EquipmentKind.TOOL)
    home = models.BooleanField(default=False)
    least_grade = Count()

    class Meta:
        verbose_name_plural = "equipment"
        constraints = flat(
            key("code"), filled("code", "title"), one_of("kind", EquipmentKind), between("least_grade", 1, 5)
        )

    def __str__(self) -> str:
        return self.code


class Hazard(models.Model):
    """A danger to people or to the car, with the caution shown wherever a step brings it."""

    code = Code()
    title = Text()
    least_grade = Count()
    caution = Text()

    class Meta:
        constraints = flat(key("code"), filled("code", "title", "caution"), between("least_grade", 1, 5))

    def __str__(self) -> str:
        return self.code


class Material(models.Model):
    """Modulus and yield in MPa, expansion per kelvin."""

    code = Code()
    title = Text()
    modulus_mpa = Figure(3)
    poisson = Figure(5)
    yield_mpa = Figure(3)
    expansion_per_k = models.DecimalField(max_digits=14, decimal_places=12)

    class Meta:
        constraints = flat(
            key("code"),
            filled("code", "title"),
            not_negative("modulus_mpa", "yield_mpa", "expansion_per_k"),
            between("poisson", 0, 1),
        )

    def __str__(self) -> str:
        return self.code


class Technology(models.Model):
    """A way to build a joint, and which movements it allows."""

    code = Code()
    title = Text()
    allows_rotation = models.BooleanField()
    allows_tilt = models.BooleanField()
    solid = models.BooleanField()

    class Meta:
        verbose_name_plural = "technologies"
        constraints = flat(key("code"), filled("code", "title"))

    def __str__(self) -> str:
        return self.code
