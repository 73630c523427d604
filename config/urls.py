"""Every address: the API, then the pages."""

from django.contrib import admin
from django.urls import URLPattern, URLResolver, include, path

from config.monitoring import healthz, metrics, readyz

urlpatterns: list[URLPattern | URLResolver] = [
    path("healthz", healthz, name="healthz"),
    path("readyz", readyz, name="readyz"),
    path("metrics", metrics, name="metrics"),
    path("api/", include("api.urls")),
    path("account/", include("config.accounts.pages")),
    path("administration/", admin.site.urls),
    path("", include("fitment.pages.urls")),
]

handler400 = "config.problems.bad_request"
handler403 = "config.problems.permission_denied"
handler404 = "config.problems.page_not_found"
handler500 = "config.problems.server_error"
