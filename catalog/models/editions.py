"""The catalogue as a whole: its edition, and the history of what changed it."""

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from catalog.codes import ChangeAction
from catalog.models.constraints import filled, flat, key, not_negative, one_of
from catalog.models.fields import Code, Day, Text


class Catalogue(models.Model):
    """The one row that says which catalogue this is and which edition it stands at.

    `enquiry_count` and `job_time_count` are counters that advance with rows that make no edition; caches of
    answers that read those rows are keyed by them too.
    """

    id = models.PositiveSmallIntegerField(primary_key=True, default=1, editable=False)
    code = Code()
    edition = models.PositiveIntegerField(default=0)
    as_of = Day()
    enquiry_count = models.PositiveIntegerField(default=0)
    job_time_count = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(id=1), name="%(app_label)s_%(class)s_only_one")]

    def __str__(self) -> str:
        return f"{self.code} {self.edition}"


class Edition(models.Model):
    """One committed change of the catalogue: who, when, from what.

    `counts`: rows by sheet; `reach`: how many answers and job minutes changed, on how many cars.
    """

    number = models.PositiveIntegerField()
    made_at = models.DateTimeField(auto_now_add=True)
    actor = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL)
    actor_name = Text()
    source = Text()
    counts = models.JSONField(default=dict, encoder=DjangoJSONEncoder)
    reach = models.JSONField(default=dict)

    class Meta:
        constraints = [key("number")]

    def __str__(self) -> str:
        return str(self.number)


class Change(models.Model):
    """One row that an edition added, changed or removed, as the workbook writes it; outlives the row."""

    edition = models.ForeignKey(Edition, on_delete=models.CASCADE, related_name="changes")
    sheet = Code()
    row_key = Text()
    action = models.CharField(max_length=10, choices=ChangeAction.choices)
    before = models.JSONField(null=True, encoder=DjangoJSONEncoder)
    after = models.JSONField(null=True, encoder=DjangoJSONEncoder)

    class Meta:
        indexes = [models.Index(fields=["sheet", "row_key"], name="catalog_change_row")]
        constraints = flat(filled("sheet", "action"), one_of("action", ChangeAction))

    def __str__(self) -> str:
        return f"{self.edition} {self.sheet} {self.row_key}"


class ChangeForCars(models.Model):
    """What an edition changed alike for some cars: place and part, and the cars touched."""

    axle = Code(blank=True, default="")
    end = Code(blank=True, default="")
    location = Code(blank=True, default="")
    part = Code()
    variants = models.JSONField(default=list)
    in_operation = models.IntegerField(default=0)

    class Meta:
        abstract = True
        constraints = flat(not_negative("in_operation"))

    def __str__(self) -> str:
        return f"{self.axle} {self.location} {self.part}"


class AnswerChange(ChangeForCars):
    """One answer that an edition changed, before and after."""

    edition = models.ForeignKey(Edition, on_delete=models.CASCADE, related_name="answer_changes")
    before = models.JSONField(null=True, encoder=DjangoJSONEncoder)
    after = models.JSONField(null=True, encoder=DjangoJSONEncoder)


class MinutesChange(ChangeForCars):
    """The expected minutes of one job that an edition changed; null: no plan."""

    edition = models.ForeignKey(Edition, on_delete=models.CASCADE, related_name="minutes_changes")
    before = models.FloatField(null=True)
    after = models.FloatField(null=True)
