"""All sheets of the workbook, in their order."""

from catalog.sheets import components, parts, procedures, reference, suspension, vehicles
from catalog.sheets.sheet import Sheets
from fitment.sheets import evidence

SHEETS = Sheets(
    (
        vehicles.CATALOGUE,
        vehicles.MAKERS,
        vehicles.PLATFORMS,
        suspension.TOPOLOGIES,
        suspension.LOCATIONS,
        suspension.AXLES,
        vehicles.OPTIONS,
        vehicles.VARIANTS,
        vehicles.VIN_PATTERNS,
        components.COMPONENTS,
        suspension.JOINTS,
        suspension.AXLE_LOCATIONS,
        suspension.WAYS,
        components.NUMBERS,
        components.SUPERSESSIONS,
        parts.PARTS,
        parts.KIT_ITEMS,
        parts.REVISIONS,
        parts.HOLDS,
        parts.PAPERS,
        parts.PART_RULES,
        evidence.FIT_DECISIONS,
        reference.EQUIPMENT,
        reference.HAZARDS,
        reference.MATERIALS,
        reference.TECHNOLOGIES,
        procedures.OPERATIONS,
        procedures.FASTENERS,
        procedures.FASTENER_CHANGES,
        *evidence.SHEETS,
    )
)
