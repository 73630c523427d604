"""Lists of equipment, hazards, materials and technologies."""

from api.filters.base import Choice, Filters, Whole, Word, YesNo, rows_of
from catalog.codes import EquipmentKind
from catalog.models import Equipment, Hazard, Material, Technology


class EquipmentFilters(Filters):
    equipment = Word("code", rows_of(Equipment), text="Its code.")
    kind = Choice("kind", EquipmentKind.values, text="Tool or consumable.")
    home = YesNo("home", text="Whether a home has it.")


class HazardFilters(Filters):
    hazard = Word("code", rows_of(Hazard), text="Its code.")
    least_grade = Whole("least_grade", text="The grade it sets.", least=1, greatest=5)


class MaterialFilters(Filters):
    material = Word("code", rows_of(Material), text="Its code.")


class TechnologyFilters(Filters):
    technology = Word("code", rows_of(Technology), text="Its code.")
    allows_rotation = YesNo("allows_rotation", text="Whether it may turn.")
    allows_tilt = YesNo("allows_tilt", text="Whether it may tilt.")
    solid = YesNo("solid", text="Whether it is solid.")
