"""Accounts as editors administer them: a name, a role, whether it is active, its tokens."""

from typing import Any

from django import forms
from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import AdminUserCreationForm, UserChangeForm
from django.contrib.auth.models import Group, User
from django.http import HttpRequest

from catalog.codes import Role
from catalog.models import ApiToken
from catalog.roles import role_of
from config.accounts.services import account_set_role

ROLES = [(role.value, role.value) for role in Role]


class AccountForm(UserChangeForm):
    role = forms.ChoiceField(choices=ROLES, help_text="Each role may do all that the ones before it may.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].initial = role_of(self.instance).value


class NewAccountForm(AdminUserCreationForm):
    role = forms.ChoiceField(choices=ROLES, initial=Role.SALES.value)


class TokenInline(admin.TabularInline):
    """Shown and revoked here, never made: a token is for its owner's eyes."""

    model = ApiToken
    extra = 0
    fields = readonly_fields = ("name", "created", "expiry", "last_use")

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_view_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return role_of(request.user).at_least(Role.EDITOR)

    has_delete_permission = has_change_permission = has_view_permission


# Importing Django's form registers its own pages, for groups too; a role here is chosen by its name.
admin.site.unregister((User, Group))


@admin.register(User)
class AccountAdmin(UserAdmin):
    form = AccountForm
    add_form = NewAccountForm
    list_display = ("username", "role", "is_active", "last_login")
    list_filter = ("groups", "is_active")
    search_fields = ("username",)
    filter_horizontal = ()
    fieldsets = ((None, {"fields": ("username", "password", "role", "is_active", "last_login")}),)
    add_fieldsets = ((None, {"fields": ("username", "usable_password", "password1", "password2", "role")}),)
    readonly_fields = ("last_login",)
    inlines = (TokenInline,)

    def role(self, user: User) -> str:
        return role_of(user).value

    def save_model(self, request: HttpRequest, obj: User, form: Any, change: bool) -> None:
        super().save_model(request, obj, form, change)
        if "role" in form.cleaned_data:
            account_set_role(user=obj, role=Role(form.cleaned_data["role"]))

    def has_module_permission(self, request: HttpRequest) -> bool:
        return role_of(request.user).at_least(Role.EDITOR)

    def has_view_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return role_of(request.user).at_least(Role.EDITOR)

    has_add_permission = has_change_permission = has_view_permission

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False  # the history names its authors; an account that is not wanted any more is set inactive
