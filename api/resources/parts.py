"""`parts/`, `revisions/`."""

from collections.abc import Mapping, Sequence

from django.db.models import Exists, OuterRef
from django.db.models.functions import Length

from api.resources.filters import Filter, Rows, by, choice, of_key, yes_no
from api.resources.resource import Inside, Resource
from catalog.codes import Decision, Duty, End, Role
from catalog.models import Hold, Joint
from catalog.selectors.visible import visible_revisions
from catalog.sheets import components, parts, procedures, reference, suspension
from catalog.sheets.sheet import Sheet
from fitment.models import FitDecision

LETTER_ORDER = ("letter_length", "letter")
HOLDS = Inside(
    parts.HOLDS,
    "A batch range stopped or recalled; both batches empty: the whole revision.",
    columns=("batch_from", "batch_to", "look_for", "opened_on", "cause", "closed_on"),
    order=(Length("batch_from"), "batch_from"),
).member_in(parts.REVISIONS)
PLACE = {"component": "component__code", "axle": "axle__code", "location": "location__code", "end": "axle__end"}


def _as_they_are(rows: Rows, value: str, role: Role) -> Rows:
    return rows  # see _approved_at


def _approved(name: str, text: str, sheet: Sheet) -> Filter:
    return of_key(name, f"Approved for {text}.", sheet, _as_they_are)


def _approved_at(rows: Rows, values: Mapping[str, Sequence[str]], role: Role) -> Rows:
    """Parts of one approved decision on a component that sits where all of the place says."""
    given = {path: values[name][0] for name, path in PLACE.items() if name in values}
    if not given:
        return rows
    decisions = FitDecision.objects.filter(
        revision__in=visible_revisions(role),
        decision=Decision.APPROVED,
        component__in=Joint.objects.filter(**given).values("component"),
    )
    return rows.filter(pk__in=decisions.values("revision__part"))


def _on_hold(rows: Rows, held: bool, role: Role) -> Rows:
    open_holds = Exists(Hold.objects.filter(revision=OuterRef("pk"), closed_on=None))
    return rows.filter(open_holds if held else ~open_holds)


def _with_letter_length(rows: Rows) -> Rows:
    return rows.annotate(letter_length=Length("letter"))


PARTS = Resource(
    parts.PARTS,
    "A design: bench minutes a piece, sizes in mm, closure in um, upkeep in km.",
    "Designs we sell or develop.",
    detail="A design with its revisions, its kit, its papers and what it asks of others.",
    filters=(
        _approved("component", "this component", components.COMPONENTS),
        _approved("axle", "a component of this axle", suspension.AXLES),
        _approved("location", "a component at this location", suspension.LOCATIONS),
        choice("end", "Approved for a component at this end.", _as_they_are, End),
    ),
    together=_approved_at,
    inside=(
        Inside(
            parts.REVISIONS,
            "An edition of this part, oldest first.",
            row="RevisionOfPart",
            columns=("revision", "status", "released_on", "change", "exchange"),
            last=(HOLDS,),
            href=True,
            order=LETTER_ORDER,
            rows=_with_letter_length,
        ),
        Inside(parts.KIT_ITEMS, "A piece in the bag of one kit."),
        Inside(parts.PAPERS, "An approval or report by market."),
        Inside(parts.PART_RULES, "What the part asks of others."),
    ),
)

REVISIONS = Resource(
    parts.REVISIONS,
    "A lettered edition of a part; sizes in mm, roughness in um, stiffness in N/mm.",
    "Lettered editions of parts.",
    detail="A lettered edition of a part with what it changes at fasteners.",
    order=("part__code", *LETTER_ORDER),
    order_kinds=(str, int, str),
    rows=_with_letter_length,
    last=(HOLDS,),
    filters=(
        of_key("technology", "The technology of its part.", reference.TECHNOLOGIES, "part__technology__code"),
        choice("duty", "What its part is made for.", by("part__duty"), Duty),
        yes_no("on_hold", "Whether a hold on it, or on batches of it, is open.", _on_hold),
    ),
    inside=(
        Inside(
            procedures.FASTENER_CHANGES, "What the revision changes at a fastener: pieces of one kit, N m, degrees."
        ),
    ),
)

RESOURCES = (PARTS, REVISIONS)
