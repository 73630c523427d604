"""The list of operations."""

from api.filters.base import Filters, Whole, Word, YesNo, rows_of
from catalog.models import Axle, Equipment, Hazard, Operation

operations, axles, tools, hazards = map(rows_of, (Operation, Axle, Equipment, Hazard))


class OperationFilters(Filters):
    axle = Word("axle__code", axles, text="Its axle.")
    operation = Word("code", operations, text="The operation's code.")
    zone = Word("zone", operations, "zone", text="Its zone; `car` serves both axles.")
    per_side = YesNo("per_side", text="Whether it is done on each side.")
    skill = Whole("skill", text="The skill it takes.", least=1, greatest=5)
    alignment = YesNo("alignment", text="Whether an alignment follows.")
    equipment = Word("equipment_rows__equipment__code", tools, text="Steps that can use this.", distinct=True)
    consumable = Word("consumable_rows__consumable__code", tools, text="Steps that use this up.", distinct=True)
    hazard = Word("hazard_rows__hazard__code", hazards, text="Steps that bring this danger.", distinct=True)
    needs = Word("need_rows__needed__code", operations, text="Steps that can need this one.", distinct=True)
