"""The four kinds of reader, from the one who may see least to the one who may see all."""

from typing import Any

from catalog.codes import Role


def role_of(user: Any) -> Role:
    """The highest role among a user's groups; anyone not signed in, or in no group, is the public.

    The answer is kept on the user object: a request asks it many times.
    """
    if user is None or not user.is_authenticated or not user.is_active:
        return Role.PUBLIC
    kept: Role | None = getattr(user, "_jointbook_role", None)
    if kept is None:
        names = set(user.groups.values_list("name", flat=True))
        kept = next((role for role in reversed(Role) if role.value in names), Role.PUBLIC)
        user._jointbook_role = kept
    return kept
