"""API tokens: who may read and write over HTTP without a browser."""

from django.db import models
from knox.models import AbstractAuthToken


class ApiToken(AbstractAuthToken):
    """A token of a user, known by its digest alone; the token itself is shown once, when it is made.

    What it may do is what its user may do: the role is the user's group. Knox gives the digest (the
    primary key), `token_key` (the first signs, to find it by), `user`, `created` and `expiry`.
    """

    name = models.CharField(max_length=80, help_text="What uses it, in the owner's words.")
    last_use = models.DateTimeField(null=True, blank=True, help_text="To the nearest ten minutes.")

    class Meta:
        ordering = ("created", "digest")
        constraints = (
            models.UniqueConstraint("user", "name", name="api_token_name_once_per_user"),
            models.CheckConstraint(condition=~models.Q(name=""), name="api_token_has_name"),
        )

    def __str__(self) -> str:
        return f"{self.name} ({self.user})"
