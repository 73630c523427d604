"""`operations/`, `equipment/`, `hazards/`, `materials/`, `technologies/`."""

from api.resources.resource import Inside, Resource
from catalog.sheets import procedures, reference

OPERATIONS = Resource(
    sheet=procedures.OPERATIONS,
    about="One step of opening the car at an axle; three-point minutes to remove and to refit.",
    listed="Steps of opening cars.",
    detail="One step of opening the car with its fasteners.",
    inside=(
        Inside(
            sheet=procedures.FASTENERS, name="fasteners", row="Fastener", about="A screw, bolt or nut: N m, degrees."
        ),
    ),
)
EQUIPMENT = Resource(sheet=reference.EQUIPMENT, about="A tool, or something used up.", listed="Tools and consumables.")
HAZARDS = Resource(
    sheet=reference.HAZARDS,
    about="A danger, with the caution shown wherever a step brings it.",
    listed="Dangers with their cautions.",
)
MATERIALS = Resource(
    sheet=reference.MATERIALS,
    about="A material of arms or bodies: modulus and yield in MPa, expansion per kelvin.",
    listed="Materials of arms and bodies.",
)
TECHNOLOGIES = Resource(
    sheet=reference.TECHNOLOGIES,
    about="A way to build a joint, and which movements it allows.",
    listed="Ways to build a joint.",
)
