"""What the tables of facts have in common."""

from django.db import models

from catalog.models.fields import Code


class Fact(models.Model):
    """A row that is called by its key."""

    class Meta:
        abstract = True

    def __str__(self) -> str:
        key = next(one for one in self._meta.constraints if isinstance(one, models.UniqueConstraint))
        return " ".join(str(getattr(self, field)) for field in key.fields)


class Coded(Fact):
    """A fact with a code of its own, by which it is called."""

    code = Code()

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.code


class ListedItem(Fact):
    """An item of a list that an owner has, in the order in which it is written."""

    position = models.PositiveSmallIntegerField()

    class Meta:
        abstract = True


class GroupedItem(ListedItem):
    """An alternative of a group, of which an owner needs at least one."""

    group = models.PositiveSmallIntegerField()

    class Meta:
        abstract = True
