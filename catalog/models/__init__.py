"""The facts, a table a sheet of the workbook; lists and groups of codes have tables of their own."""

from .accounts import ApiToken
from .components import Component, Exchange, Number, NumberKind, Side, Supersession
from .downloads import Download, DownloadState, Ending
from .editions import AnswerChange, Catalogue, Change, ChangeAction, ChangeForCars, Edition, MinutesChange
from .parts import (
    Duty,
    Hand,
    Hold,
    KitItem,
    Papers,
    Part,
    PartBenchEquipment,
    PartRule,
    Revision,
    RevisionExchange,
    Rule,
    Seat,
    Status,
)
from .procedures import (
    Fastener,
    FastenerChange,
    Head,
    IfAbsent,
    Operation,
    OperationConsumable,
    OperationEntail,
    OperationEquipment,
    OperationHazard,
    OperationNeed,
    TightenAt,
    Way,
    WayOperation,
)
from .reference import Equipment, EquipmentKind, Hazard, Material, Technology
from .suspension import Axle, AxleLocation, End, Joint, LinkEnd, LinkRole, Location, Per, Topology
from .uploads import Upload, UploadState
from .vehicles import Maker, Option, Platform, Variant, VariantOption, VinPattern, VinPatternVariant

__all__ = [
    "AnswerChange", "ApiToken", "Axle", "AxleLocation", "Catalogue", "Change", "ChangeAction", "ChangeForCars",
    "Component", "Download", "DownloadState", "Duty", "Edition", "End", "Ending", "Equipment", "EquipmentKind",
    "Exchange", "Fastener", "FastenerChange", "Hand", "Hazard", "Head", "Hold", "IfAbsent", "Joint", "KitItem",
    "LinkEnd", "LinkRole", "Location", "Maker", "Material", "MinutesChange", "Number", "NumberKind", "Operation",
    "OperationConsumable", "OperationEntail", "OperationEquipment", "OperationHazard", "OperationNeed", "Option",
    "Papers", "Part", "PartBenchEquipment", "PartRule", "Per", "Platform", "Revision", "RevisionExchange", "Rule",
    "Seat", "Side", "Status", "Supersession", "Technology", "TightenAt", "Topology", "Upload", "UploadState",
    "Variant", "VariantOption", "VinPattern", "VinPatternVariant", "Way", "WayOperation",
]  # fmt: skip
