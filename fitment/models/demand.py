"""What was asked and found no answer."""

from django.db import models

from catalog.models.bases import Fact
from catalog.models.constraints import constraints_of
from catalog.models.fields import Code
from fitment.sheets.evidence import ENQUIRIES


class Enquiry(Fact):
    """A question that found no answer, counted by day: the car as far as known, a place or a number.

    Codes are kept as text, so that the demand outlives the rows it names. No personal data.
    """

    asked_on = models.DateField()
    maker = Code(blank=True, default="")
    chassis = Code(blank=True, default="")
    variant = Code(blank=True, default="")
    location = Code(blank=True, default="")
    number = Code(blank=True, default="")
    count = models.IntegerField(default=1)

    class Meta:
        verbose_name_plural = "enquiries"
        constraints = constraints_of(ENQUIRIES)
