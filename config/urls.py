"""Every address: the API, then the pages."""

from django.contrib import admin
from django.urls import URLPattern, URLResolver, include, path

from config.health import healthz, readyz
from config.metrics import metrics

urlpatterns: list[URLPattern | URLResolver] = [
    path("healthz", healthz, name="healthz"),
    path("readyz", readyz, name="readyz"),
    path("metrics", metrics, name="metrics"),
    path("account/", include("catalog.pages.accounts")),
    path("administration/", admin.site.urls),
]
