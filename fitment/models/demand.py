"""What was asked and found no answer."""

from django.db import models

from catalog.models.constraints import at_least_one, flat, key
from catalog.models.fields import Code


class Enquiry(models.Model):
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
        constraints = flat(key("asked_on", "maker", "chassis", "variant", "location", "number"), at_least_one("count"))

    def __str__(self) -> str:
        return f"{self.asked_on} {self.chassis or self.number}"
