"""What must hold of the catalogue as a whole, a subject a module; functions over the draft."""

from catalog.workbook.checks.conditions import check_conditions
from catalog.workbook.checks.operations import check_car_steps, check_operations, check_torques
from catalog.workbook.checks.parts import (
    check_numbers,
    check_orders,
    check_part_rules,
    check_parts,
    check_supersessions,
)
from catalog.workbook.checks.references import check_references
from catalog.workbook.checks.vehicles import check_axles, check_locations, check_options, check_platforms

CHECKS = (
    check_references,
    check_orders,
    check_conditions,
    check_options,
    check_axles,
    check_platforms,
    check_locations,
    check_numbers,
    check_supersessions,
    check_parts,
    check_part_rules,
    check_operations,
    check_car_steps,
    check_torques,
)
