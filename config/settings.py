"""Settings, read from the environment (the table in README.md), grouped by what they are for."""

import os
import secrets
from collections.abc import Iterable
from datetime import timedelta
from pathlib import Path

from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from config.database import databases
from config.logs import logging_settings


def _items(name: str, default: str = "") -> list[str]:
    """The parts of a text separated by commas."""
    return [part.strip() for part in os.environ.get(name, default).split(",") if part.strip()]


def _choice(name: str, default: str, allowed: Iterable[str]) -> str:
    """One of the allowed words, in any case. Raises `ImproperlyConfigured`."""
    given = os.environ.get(name, "") or default
    for word in allowed:
        if given.casefold() == word.casefold():
            return word
    raise ImproperlyConfigured(f"{name}: '{given}' is not known; write one of {', '.join(allowed)}")


def _number(name: str, default: int) -> int:
    """A whole number from 1. Raises `ImproperlyConfigured`."""
    given = os.environ.get(name, "") or str(default)
    if not given.isdecimal() or int(given) < 1:
        raise ImproperlyConfigured(f"{name}: '{given}' is no number; write one from 1, such as {default}")
    return int(given)


ROOT = Path(__file__).resolve().parent.parent


# --- Where the state is -------------------------------------------------------------------------

DATA_DIR = Path(os.environ.get("DATA_DIR", "") or ROOT / ".data").absolute()
DATABASES = databases(
    url=os.environ.get("DATABASE_URL", ""), replica_url=os.environ.get("DATABASE_REPLICA_URL", ""), data_dir=DATA_DIR
)
HAS_REPLICA = "replica" in DATABASES
DATABASE_ROUTERS = ["config.database.ReplicaRouter"]
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}

# --- What the program consists of ---------------------------------------------------------------

INSTALLED_APPS = [
    "config.apps.AccountsAdminConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "rest_framework",
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
    "config.apps.HouseConfig",
]
MIDDLEWARE = [
    "config.proxies.TrustedProxies",
    "config.requests.RequestLog",
    "config.requests.PrivateUnlessSaid",
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "config.database.ReplicaReads",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
    "config.requests.NoNullSigns",
    "fitment.pages.shared.refusals.RefusalPages",
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
                "config.accounts.pages.viewer",
                "fitment.pages.shared.context.page_frame",
            ]
        },
    }
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"

# --- Who asks, from where -----------------------------------------------------------------------

# Only `serve` needs one that stays; everything else may make its own.
SECRET_KEY = os.environ.get("SECRET_KEY", "") or secrets.token_urlsafe(48)
DEBUG = False
PORT = _number("PORT", 8000)
ALLOWED_HOSTS = _items("ALLOWED_HOSTS", "localhost,127.0.0.1")
TRUSTED_PROXIES = _items("TRUSTED_PROXIES")
ANONYMOUS_RATE = os.environ.get("ANONYMOUS_RATE", "1200/min")
ENQUIRY_RATE = "60/hour"

# --- Accounts -----------------------------------------------------------------------------------

AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}", "OPTIONS": options}
    for name, options in (
        ("MinimumLengthValidator", {"min_length": 12}),
        ("UserAttributeSimilarityValidator", {}),
        ("CommonPasswordValidator", {}),
        ("NumericPasswordValidator", {}),
    )
]
LOGIN_URL = "accounts:sign-in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/"

TOKEN_LIFETIME = timedelta(days=90)
KNOX_TOKEN_MODEL = "catalog.ApiToken"  # noqa: S105  # the name of a model
REST_KNOX = {"TOKEN_PREFIX": "jb_", "TOKEN_TTL": TOKEN_LIFETIME}
MIGRATION_MODULES = {"knox": None}  # its own table is swapped for ours; its migrations would make it all the same

# Failed sign-ins: an account is closed to an address after five; config.sign_ins slows everybody before that.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_CALLABLE = "config.accounts.pages.locked_out"
AXES_ENABLE_ADMIN = False
AXES_VERBOSE = False
SILENCED_SYSTEM_CHECKS = [
    "axes.W006",  # it looks for the address alone; ours stands together with the account
    "security.W021",  # whether browsers ship a domain in their list is for its owner to decide
]
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address"]

# --- What a browser is told ---------------------------------------------------------------------

_HTTPS = bool(TRUSTED_PROXIES)  # HTTPS ends at a proxy; without one this is a machine of its own, over plain HTTP
CSRF_COOKIE_SECURE = SESSION_COOKIE_SECURE = _HTTPS
SESSION_COOKIE_NAME = "__Host-session" if _HTTPS else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if _HTTPS else "csrf"
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "config.problems.csrf_failure"
SESSION_COOKIE_AGE = 12 * 3600
SECURE_PROXY_SSL_HEADER = ("jointbook.scheme", "https")  # set by config.proxies alone; no header has such a name
SECURE_SSL_REDIRECT = _HTTPS
SECURE_REDIRECT_EXEMPT = [r"^(healthz|readyz|metrics)$"]  # asked from inside, past the proxy
SECURE_HSTS_SECONDS = 365 * 86400 if _HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = _HTTPS
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "object-src": [NONE],
    }
}

# --- Language, time -----------------------------------------------------------------------------

LANGUAGE_CODE = "en"
USE_I18N = False
TIME_ZONE = "UTC"
USE_TZ = True

# --- Static files, uploads ----------------------------------------------------------------------

STATIC_URL = "/static/"
STATICFILES_DIRS = [path for path in (ROOT / "static",) if path.is_dir()]
WHITENOISE_USE_FINDERS = True
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024  # a thousand cars with their options take well under one

# --- The API ------------------------------------------------------------------------------------

REST_FRAMEWORK = {
    "DEFAULT_SCHEMA_CLASS": "api.schema.EndpointSchema",
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "api.authentication.TokenAuthentication",
        "api.authentication.SessionAuthentication",
    ],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_THROTTLE_CLASSES": ["api.authentication.AnonymousThrottle"],
    "URL_FORMAT_OVERRIDE": None,  # `?format=` is an unknown parameter like any other
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Jointbook",
    "VERSION": "1",
    "DESCRIPTION": "Which joint upgrade fits this car, how to fit it, and how well that is known.",
    "OAS_VERSION": "3.1.1",
    "SCHEMA_PATH_PREFIX": "/api/v1/",
    "COMPONENT_NO_READ_ONLY_REQUIRED": True,
    "ENUM_GENERATE_CHOICE_DESCRIPTION": False,
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    "POSTPROCESSING_HOOKS": [],
    "SORT_OPERATION_PARAMETERS": False,
    "AUTHENTICATION_WHITELIST": ["api.authentication.TokenAuthentication"],
}

# --- Logs, metrics ------------------------------------------------------------------------------

LOG_LEVEL = _choice("LOG_LEVEL", "INFO", ("DEBUG", "INFO", "WARNING", "ERROR"))
LOG_FORMAT = _choice("LOG_FORMAT", "plain", ("plain", "json"))  # `serve` sets json
LOGGING = logging_settings(level=LOG_LEVEL, json_lines=LOG_FORMAT == "json")
METRICS_TOKEN = os.environ.get("METRICS_TOKEN", "")
METRICS_SHARED = bool(os.environ.get("PROMETHEUS_MULTIPROC_DIR"))
QUIET_ROUTES = ["healthz", "readyz", "metrics"]
