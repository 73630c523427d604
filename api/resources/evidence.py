"""`fit-decisions/`, `test-fits/`, `job-times/`, `measurements/`, `stances/`: read and write; `enquiries/`: read."""

from django.db.models import TextField
from django.db.models.functions import Cast, Length

from api.resources.resource import Resource
from fitment.sheets import evidence

FIT_DECISIONS = Resource(
    evidence.FIT_DECISIONS,
    "An engineer's word that a revision replaces a component.",
    "Engineers' words on revisions and components.",
    order=("revision__part__code", "letter_length", "revision__letter", "component__code", "pk"),
    order_kinds=(str, int, str, str, int),
    rows=lambda rows: rows.annotate(letter_length=Length("revision__letter")),
    href=False,
)
TEST_FITS = Resource(evidence.TEST_FITS, "A revision tried on a real car.", "Revisions tried on real cars.", href=False)
JOB_TIMES = Resource(
    evidence.JOB_TIMES,
    "Minutes taken for a stated scope.",
    "Minutes taken for stated scopes; they make no edition.",
    href=False,
    counted=True,
)
MEASUREMENTS = Resource(
    evidence.MEASUREMENTS,
    "A dimension of a component on samples, in mm.",
    "Dimensions of components on samples.",
    order=("component__code", "feature", "pk"),
    order_kinds=(str, str, int),
    href=False,
)
STANCES = Resource(
    evidence.STANCES,
    "The developers' standing word on an axle and location.",
    "The developers' standing words on axles and locations.",
    href=False,
)
ENQUIRIES = Resource(
    evidence.ENQUIRIES,
    "How often one question was asked on one day.",
    "Questions that found no answer, by day; anybody may log one.",
    order=("day", "maker", "chassis", "variant", "location", "number"),
    rows=lambda rows: rows.annotate(day=Cast("asked_on", TextField())),  # a cursor's keys are texts
    href=False,
    counted=True,
)

RESOURCES = (FIT_DECISIONS, TEST_FITS, JOB_TIMES, MEASUREMENTS, STANCES)
