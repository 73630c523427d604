"""The administration site: editors only, signed in through the application's own page."""

from typing import Any

from django.contrib import admin
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from catalog.codes import Role
from catalog.roles import role_of


class AccountsAdminSite(admin.AdminSite):
    site_header = site_title = "Jointbook accounts"
    index_title = "Who may see and change what"
    enable_nav_sidebar = False

    def has_permission(self, request: HttpRequest) -> bool:
        return role_of(request.user).at_least(Role.EDITOR)

    def login(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        """One place to sign in, which slows and locks; Django's own form here would be a second door."""
        if request.user.is_authenticated:
            return HttpResponse("This needs an account with the role editor.\n", status=403, content_type="text/plain")
        return redirect_to_login(request.GET.get("next") or reverse("admin:index"))

    def password_change(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:  # type: ignore[override]  # the stubs promise a page; this leads to one
        return redirect("accounts:password")
