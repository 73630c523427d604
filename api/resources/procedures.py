"""`operations/`, `equipment/`, `hazards/`, `materials/`, `technologies/`."""

from api.resources.resource import Inside, Resource
from catalog.sheets import procedures, reference

OPERATIONS = Resource(
    procedures.OPERATIONS,
    "One step of opening the car at an axle; three-point minutes to remove and to refit.",
    "Steps of opening cars.",
    detail="One step of opening the car with its fasteners.",
    inside=(Inside(procedures.FASTENERS, "A screw, bolt or nut: N m, degrees."),),
)
EQUIPMENT = Resource(reference.EQUIPMENT, "A tool, or something used up.", "Tools and consumables.")
HAZARDS = Resource(
    reference.HAZARDS, "A danger, with the caution shown wherever a step brings it.", "Dangers with their cautions."
)
MATERIALS = Resource(
    reference.MATERIALS,
    "A material of arms or bodies: modulus and yield in MPa, expansion per kelvin.",
    "Materials of arms and bodies.",
)
TECHNOLOGIES = Resource(
    reference.TECHNOLOGIES, "A way to build a joint, and which movements it allows.", "Ways to build a joint."
)

RESOURCES = (OPERATIONS, EQUIPMENT, HAZARDS, MATERIALS, TECHNOLOGIES)
