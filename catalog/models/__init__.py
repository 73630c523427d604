"""The facts, a table a sheet of the workbook; lists and groups of codes have tables of their own."""

from catalog.models.accounts import ApiToken
from catalog.models.components import Component, Number, Supersession
from catalog.models.editions import AnswerChange, Catalogue, Change, ChangeForCars, Edition, MinutesChange
from catalog.models.parts import Hold, KitItem, Papers, Part, PartBenchEquipment, PartRule, Revision
from catalog.models.procedures import (
    Fastener,
    FastenerChange,
    Operation,
    OperationConsumable,
    OperationEntail,
    OperationEquipment,
    OperationHazard,
    OperationNeed,
    Way,
    WayOperation,
)
from catalog.models.reference import Equipment, Hazard, Material, Technology
from catalog.models.suspension import Axle, AxleLocation, Joint, Location, Topology
from catalog.models.uploads import Download, Upload
from catalog.models.vehicles import Maker, Option, Platform, Variant, VariantOption, VinPattern, VinPatternVariant
