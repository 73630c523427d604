"""Every enumeration of the contract, once: its values, their order and the word for each. Pure.

Members stand in the order in which they are listed and compared; `rank` is that order as a number. Sentences about
them are in `fitment.text`. The module is long because it is the one list: nothing here decides anything.
"""

from enum import EnumMeta, StrEnum
from typing import Self


class _Codes(EnumMeta):
    """What an enumeration as a whole is asked, by the names that Django's choices have."""

    @property
    def values(cls) -> list[str]:
        return [str(member.value) for member in cls]  # type: ignore[var-annotated]

    @property
    def choices(cls) -> list[tuple[str, str]]:
        """Pairs of value and word, as fields of models and forms take them."""
        return [(str(member.value), member.word) for member in cls]  # type: ignore[var-annotated]


class Code(StrEnum, metaclass=_Codes):
    """A value as it is stored and sent, with the word that people read.

    >>> Duty.ROAD_AND_TRACK.value, Duty.ROAD_AND_TRACK.word, Duty.word_of("road"), Verdict.FITS.rank
    ('road_and_track', 'road and track', 'road', 0)
    """

    word: str
    rank: int
    """The place among the members: 0 is the first, which is the best where there is a best."""

    def __new__(cls, value: str, word: str | None = None) -> Self:
        member = str.__new__(cls, value)
        member._value_ = value
        member.rank = len(cls.__members__)
        member.word = value.replace("_", " ") if word is None else word
        return member

    @classmethod
    def word_of(cls, value: str | None) -> str:
        """The word for a value; a value that is none of these stands for itself, none at all is empty."""
        return cls(value).word if value in cls.values else value or ""


class YesNo(Code):
    YES = "yes"
    NO = "no"


class Role(Code):
    """Who reads, from the one who may see least to the one who may see all; each may do what those before it may."""

    PUBLIC = "public"
    SALES = "sales"
    DEVELOPMENT = "development"
    EDITOR = "editor"

    def at_least(self, other: "Role") -> bool:
        return self.rank >= other.rank

    @property
    def is_staff(self) -> bool:
        return self is not Role.PUBLIC


# The car and its suspension


class CarAttribute(Code):
    """What is stated of a variant, in the order in which contradictions are named."""

    VARIANT = "variant", "Variant"
    MAKER = "maker", "Maker"
    CHASSIS = "chassis", "Chassis"
    DESIGNATION = "designation", "Designation"
    BODY = "body", "Body"
    ENGINE = "engine", "Engine"
    DRIVETRAIN = "drivetrain", "Drivetrain"
    STEERING = "steering", "Steering"
    MARKET = "market", "Market"


class DayAttribute(Code):
    """What is stated of the day a car was built."""

    BUILT = "built", "Built"
    REGISTERED = "registered", "First registered"
    MODEL_YEAR = "model_year", "Model year"


OF_CAR = (*CarAttribute, *DayAttribute)
"""The parameters that state a car, but for its options and joints, in the order in which they are named."""
OF_VARIANT = tuple(name for name in CarAttribute if name.rank > CarAttribute.CHASSIS.rank)
"""The attributes that each variant of a platform has for itself."""
ASKED_ORDER = ("maker", "chassis", "steering", "body", "drivetrain", "engine", "designation", "market")
"""The attributes of a car in the order in which equals are asked."""
PLATFORM_ORDER = ("maker", "chassis", "body", "engine", "designation", "drivetrain", "steering", "market", "built")
"""The order in which several platforms are told apart."""


class End(Code):
    FRONT = "front", "front axle"
    REAR = "rear", "rear axle"


class LinkEnd(Code):
    CHASSIS = "chassis", "to the body"
    SUBFRAME = "subframe", "to the subframe"
    UPRIGHT = "upright", "to the upright"
    STRUT = "strut", "to the strut"
    LINK = "link", "to another link"


class LinkRole(Code):
    BRAKING = "braking"
    LATERAL = "lateral"
    VERTICAL = "vertical"
    STEERING = "steering"
    MIXED = "mixed"


class Per(Code):
    SIDE = "side"
    AXLE = "axle"


class Side(Code):
    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"


class Hand(Code):
    LEFT = "left"
    RIGHT = "right"
    EITHER = "either"


class SpringKind(Code):
    STRUT = "strut"
    UPRIGHT = "upright"
    LINK = "link"


class InUnknown(Code):
    """In how many of the possible cars something is not known."""

    ALL = "all"
    SOME = "some"


# Parts and numbers


class Duty(Code):
    ROAD = "road"
    ROAD_AND_TRACK = "road_and_track"
    COMPETITION = "competition", "competition only, not for the road"


class Seat(Code):
    PRESSED = "pressed"
    CLAMPED = "clamped"
    TAPER = "taper"


class Status(Code):
    CONCEPT = "concept"
    PROTOTYPE = "prototype"
    RELEASED = "released"
    WITHDRAWN = "withdrawn", "no longer made"


FOR_SALE_ONCE = (Status.RELEASED, Status.WITHDRAWN)
"""The states of a revision for which its part exists to the public."""
MATCHED = (Status.RELEASED, Status.PROTOTYPE)
"""The states of a revision that is held against interfaces."""


class Exchange(Code):
    """How a new number, or a revision, may take the place of the one before."""

    ONE_WAY = "one_way"
    BOTH_WAYS = "both_ways"
    WITH_REWORK = "with_rework"


class RevisionExchange(Code):
    """Towards the revision before it."""

    ONE_WAY = "one_way"
    BOTH_WAYS = "both_ways"
    WITH_REWORK = "with_rework"
    NONE = "none"


REPLACES = (Exchange.ONE_WAY, Exchange.BOTH_WAYS)
"""The exchanges by which the new takes the place of the old as it is."""


class Rule(Code):
    REQUIRES = "requires"
    EXCLUDES = "excludes"
    SAME_REVISION = "same_revision_both_sides"
    IN_PAIRS = "in_pairs"


class NumberKind(Code):
    COMPONENT = "component", "an original joint"
    ASSEMBLY = "assembly", "an arm with its joints"
    PART = "part", "a part of ours"
    REVISION = "revision", "a revision of a part of ours"
    KIT = "kit", "a kit"
    FASTENER = "fastener", "a bolt, nut or screw"
    OTHER = "other", "something not recorded yet"


class Near(Code):
    """Why a number is proposed."""

    FOLDED = "folded", "the same but for signs that are easily confused, such as O and 0"
    PREFIX = "prefix", "begins with what you asked for"


# Procedures


class EquipmentKind(Code):
    TOOL = "tool"
    CONSUMABLE = "consumable"


class EquipmentSet(Code):
    SHOP = "shop", "everything a workshop has"
    HOME = "home", "what a home has"


class IfAbsent(Code):
    OPEN = "open"
    BLOCKED = "blocked"


class Head(Code):
    HEX = "hex"
    HEX_FLANGE = "hex_flange"
    INTERNAL_HEX = "internal_hex"
    INTERNAL_HEXALOBULAR = "internal_hexalobular"
    EXTERNAL_HEXALOBULAR = "external_hexalobular"
    NUT = "nut"
    FLANGE_NUT = "flange_nut"
    TAPER_NUT = "taper_nut"
    WHEEL_BOLT = "wheel_bolt"


class TightenAt(Code):
    FITTED = "fitted"
    RIDE_HEIGHT = "ride_height"


class Phase(Code):
    """The phases of a job, in the order of the work."""

    REMOVE = "remove", "Way in"
    FIT = "fit", "Fit"
    REFIT = "refit", "Refit, each step undone"
    RIDE_HEIGHT = "ride_height", "At ride height"
    AFTER = "after", "After-work"


class GraphState(Code):
    """How a box of the graph of a way in stands to the plan."""

    CHOSEN = "chosen"
    OTHER = "other"
    AFTER = "after"
    GOAL = "goal"


class ToolKind(Code):
    EQUIPMENT = "equipment"
    DRIVE = "drive"
    COUNTER_HOLD = "counter_hold"
    TORQUE_WRENCH = "torque_wrench"
    TORQUE_BEYOND = "torque_beyond"


class GradeCause(Code):
    """What sets the grade of a job; all but the last two are followed by a name."""

    SKILL = "skill"
    BENCH = "bench"
    EQUIPMENT = "equipment"
    HAZARD = "hazard"
    ALIGNMENT = "alignment"
    TIME = "time"


class Units(Code):
    METRIC = "metric", "N m and mm"
    IMPERIAL = "imperial", "lb ft and inches"


# Decisions and evidence


class Decision(Code):
    APPROVED = "approved"
    REJECTED = "rejected"
    PROPOSED = "proposed"


DECIDED = (Decision.APPROVED, Decision.REJECTED)


class Position(Code):
    """The developers' standing word on a place."""

    WANTED = "wanted"
    IN_WORK = "in_work"
    NOT_OFFERED = "not_offered"


class Outcome(Code):
    PASSED = "passed"
    PASSED_WITH_REMARKS = "passed_with_remarks", "passed with remarks"
    FAILED = "failed"


class Measurable(Code):
    """The features of a component that are measured."""

    BORE = "bore"
    SEAT_LENGTH = "seat_length"
    CLEVIS_GAP = "clevis_gap"
    BOLT = "bolt"
    TAPER_LARGE = "taper_large", "large end of the taper"
    CENTRE_OFFSET = "centre_offset"
    ARM_OUTSIDE = "arm_outside", "outside of the arm's eye"


# Answers


class Verdict(Code):
    """Whether a part fits, the best news first."""

    FITS = "fits", "Fits"
    DEPENDS = "depends", "Depends"
    NOT_KNOWN = "not_known", "Not known yet"
    DOES_NOT_FIT = "does_not_fit", "Does not fit"


SOME_FIT = (Verdict.FITS, Verdict.DEPENDS)
"""The verdicts of a part that fits some possible car."""


class Reason(Code):
    """Why a revision has its outcome on one possible car."""

    NO_AXLE = "no_axle"
    NO_SUCH_LOCATION = "no_such_location"
    NO_COMPONENT = "no_component"
    CONFLICT = "conflict"
    REJECTED = "rejected"
    APPROVED = "approved"
    UNDER_REVIEW = "under_review"
    UNDECIDED = "undecided"


class Basis(Code):
    """How well a 'fits' is known, strongest first."""

    FITTED = "fitted", "tried on this car"
    FITTED_SIBLING = "fitted_sibling", "tried on a sister car"
    CARRIED_OVER = "carried_over", "carried over from an earlier revision"
    SAME_COMPONENT = "same_component", "same joint on another axle"
    MEASURED = "measured", "by measurement"
    DECLARED = "declared", "by decision, not yet tried"


# Engineering and coverage


class MatchVerdict(Code):
    """How a revision stands to an interface, the nearest first."""

    DROPS_IN = "drops_in", "Drops in"
    RESIZE = "resize", "Fits after machining a blank"
    UNMEASURED = "unmeasured", "Not measured"
    NEW_DESIGN = "new_design", "Cannot be made to fit"


class MatchFeature(Code):
    """The features of an interface that are judged."""

    HOLD = "hold", "Hold of the press fit, cold and hot"
    EYE_STRESS = "eye_stress", "Stress in the eye"
    BODY_STRESS = "body_stress", "Stress in the body"
    CLOSURE = "closure", "Race closed by the press fit"
    BODY_LENGTH = "body_length", "Body in its seat"
    CLAMP_LEAST = "clamp_least", "Sleeve in its clevis, free"
    CLAMP_GREATEST = "clamp_greatest", "Sleeve in its clevis, draw-up"
    BOLT_LEAST = "bolt_least", "Bolt through the hole"
    BOLT_GREATEST = "bolt_greatest", "Bolt in the hole, play"
    TAPER_RATIO = "taper_ratio", "Taper, ratio"
    TAPER_LARGE = "taper_large", "Taper, large end"
    OFFSET = "offset", "Centre offset"
    ROTATION = "rotation", "Rotation each way"
    TILT = "tilt", "Tilt each way"


class FeatureState(Code):
    OK = "ok", "within"
    FAILS = "fails"
    UNMEASURED = "unmeasured", "not known"
    REFUSED = "refused"


class Sense(Code):
    AT_LEAST = "at_least"
    AT_MOST = "at_most"


class MatchWarning(Code):
    BINDS = "binds"
    ARM_TURNS = "arm_turns"
    MEASURED_OUTSIDE_STATED = "measured_outside_stated"


class LoadCase(Code):
    STANDING = "standing", "Standing"
    BRAKING = "braking", "Braking 1 g"
    CORNERING = "cornering", "Cornering 1 g, outer wheel"


class JointEnd(Code):
    """Which end of a link a joint is: towards the car, or towards the wheel."""

    INNER = "inner"
    OUTER = "outer"


class NotModelled(Code):
    """Why an axle has no loads."""

    NO_HARDPOINTS = "no_hardpoints"
    NOT_MODELLED = "not_modelled"
    SINGULAR = "singular"


class CoverageState(Code):
    """How near uncovered cars are to a part."""

    RELEASED = "released", "Covered"
    NOT_OFFERED = "not_offered", "Not offered"
    CARRY_OVER = "carry_over", "Carry over"
    TEST_FIT = "test_fit", "Test fit passed"
    PROTOTYPE = "prototype", "Prototype or proposal"
    RESIZE = "resize", "Resize a blank"
    UNMEASURED = "unmeasured", "Not measured"
    NEW_DESIGN = "new_design", "New design"
    UNKNOWN = "unknown", "Joint not known"


# Editions, and the long work of the queue


class ChangeAction(Code):
    ADDED = "added"
    CHANGED = "changed"
    REMOVED = "removed"


class UploadState(Code):
    """From handed in to loaded; `moved`: another edition came between the check and the load."""

    WAITING = "waiting"
    CHECKING = "checking"
    CHECKED = "checked"
    REFUSED = "refused"
    LOADING = "loading"
    LOADED = "loaded"
    MOVED = "moved"
    FAILED = "failed"


class DownloadState(Code):
    WAITING = "waiting"
    WRITING = "writing"
    READY = "ready"
    FAILED = "failed"


class WorkbookFormat(Code):
    XLSX = "xlsx"
    ZIP = "zip"
