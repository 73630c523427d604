"""Settings, read from the environment (the table in README.md), grouped by what they are for."""

import os
import secrets
from datetime import timedelta
from pathlib import Path

from csp.constants import NONE, SELF

from config.database import databases

ROOT = Path(__file__).resolve().parent.parent


def _list(name: str, default: str = "") -> list[str]:
    return [part.strip() for part in os.environ.get(name, default).split(",") if part.strip()]


# --- Where the state is -------------------------------------------------------------------------

DATA_DIR = Path(os.environ.get("DATA_DIR", "") or ROOT / ".data").absolute()
DATABASES = databases(
    url=os.environ.get("DATABASE_URL", ""),
    replica_url=os.environ.get("DATABASE_REPLICA_URL", ""),
    data_dir=DATA_DIR,
)
DATABASE_ROUTERS = ["config.replicas.ReplicaRouter"]

# --- What the program consists of ---------------------------------------------------------------

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "rest_framework",
    "django_filters",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "django_htmx",
    "csp",
    "knox",
    "axes",
    "procrastinate.contrib.django",
    "catalog",
    "fitment",
    "api",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]
ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"
INSTALLED_APPS += ["django.forms"]

# --- Secrets, hosts, cookies --------------------------------------------------------------------

# Only `serve` needs one that stays; everything else may make its own.
SECRET_KEY = os.environ.get("SECRET_KEY", "") or secrets.token_urlsafe(48)
DEBUG = False
ALLOWED_HOSTS = _list("ALLOWED_HOSTS", "localhost,127.0.0.1")

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "manifest-src": [SELF],
    },
}

AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
KNOX_TOKEN_MODEL = "catalog.ApiToken"
MIGRATION_MODULES = {"knox": None}  # its own table is swapped for ours; its migrations would make it all the same

# --- Language, time -----------------------------------------------------------------------------

LANGUAGE_CODE = "en"
USE_I18N = False
TIME_ZONE = "UTC"
USE_TZ = True

# --- Static files -------------------------------------------------------------------------------

STATIC_URL = "/static/"
STATICFILES_DIRS = [path for path in (ROOT / "static",) if path.is_dir()]
WHITENOISE_USE_FINDERS = True

# --- The API ------------------------------------------------------------------------------------

REST_FRAMEWORK = {
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "UNAUTHENTICATED_USER": "django.contrib.auth.models.AnonymousUser",
}
ANONYMOUS_RATE = os.environ.get("ANONYMOUS_RATE", "1200/min")
ENQUIRY_RATE = "60/hour"
TOKEN_LIFETIME = timedelta(days=365)
