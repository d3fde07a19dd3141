"""Settings of the deployment. What the environment may change is read in `shop/environment.py`."""

import re
from pathlib import Path
from urllib.parse import urlsplit

from shop import environment
from shop.server import network

BASE_DIR = Path(__file__).resolve().parent.parent

DEBUG = environment.switch("DEBUG")
HTTPS = environment.switch("HTTPS")
DATABASES = {"default": environment.database(BASE_DIR)}
SECRET_KEY = environment.secret_key(DATABASES["default"])
PUBLIC_URL = environment.public_url()
# A proxy that speaks TLS is another program of this machine, unless it is named.
TRUSTED_PROXIES = environment.addresses("TRUSTED_PROXY") or (["127.0.0.1", "::1"] if HTTPS else [])
ALLOWED_HOSTS = environment.words("ALLOWED_HOSTS") or network.own_names()
if PUBLIC_URL:
    ALLOWED_HOSTS.append(str(urlsplit(PUBLIC_URL).hostname))

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_filters",
    "simple_history",
    "axes",
    "csp",
    "inventory",
    "fitfinder",
    "shop",
]

MIDDLEWARE = [
    "shop.incoming.KnownDevice",
    "shop.journal.who_did_what.WhoDidWhat",
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.gzip.GZipMiddleware",  # before static files: the style sheet is compressed by it too
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "shop.incoming.PlainTexts",
    "shop.door.guards.LastSeen",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "shop.door.slowed.KnownPeople",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "axes.middleware.AxesMiddleware",
    "shop.trouble.pages.TellPlainly",
    "shop.door.guards.Guards",
    "inventory.web.shop_settings.ShopsSettings",
    "shop.incoming.PlainForms",
]

ROOT_URLCONF = "shop.urls"
CSRF_FAILURE_VIEW = "shop.trouble.pages.csrf_failure"
WSGI_APPLICATION = "shop.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

_USER_AND_MESSAGES = [
    "django.contrib.auth.context_processors.auth",
    "django.contrib.messages.context_processors.messages",
]
_FOR_ALL_PAGES = [*_USER_AND_MESSAGES, "inventory.web.shop_settings.drawn_form"]
TEMPLATES = [
    {  # our pages
        "BACKEND": "django.template.backends.jinja2.Jinja2",
        "DIRS": [BASE_DIR / "templates"],
        "OPTIONS": {"environment": "shop.jinja.environment", "context_processors": _FOR_ALL_PAGES},
    },
    {  # those of Django's administration and of libraries
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "shop" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {"context_processors": ["django.template.context_processors.request", *_USER_AND_MESSAGES]},
    },
]

FORM_RENDERER = "shop.jinja.FieldRenderer"

# ATOMIC_REQUESTS stays off: reading a page must not take SQLite's write lock.

AUTH_USER_MODEL = "inventory.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in ("UserAttributeSimilarityValidator", "CommonPasswordValidator")
] + [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},  # OWASP ASVS 4.0, 2.1.1
    }
]
LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "find"
LOGOUT_REDIRECT_URL = "sign_in"

# What it counts and how long it waits is ours; asking before each password, and whoever asks, is its own.
AXES_HANDLER = "shop.door.slowed.Handler"
AXES_LOCKOUT_CALLABLE = "shop.door.slowed.slowed_down"
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_ENABLE_ADMIN = False
SILENCED_SYSTEM_CHECKS = (
    [
        # A shop's own network has no TLS: HTTPS=on turns these on, and `check --deploy` is clean then.
    ]
    + ([] if HTTPS else ["security.W004", "security.W008", "security.W012", "security.W016"])
)

# Sessions are rows of the database: so a device that was lost can be put out, which a signed cookie would give up.
SESSION_COOKIE_AGE = 90 * 24 * 60 * 60
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
# With this prefix a browser takes the cookie only by https, for this host alone and all of it.
_PREFIX = "__Host-" if HTTPS else ""
SESSION_COOKIE_NAME = f"{_PREFIX}gripbook_session"
CSRF_COOKIE_NAME = f"{_PREFIX}gripbook_csrf"
SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = ["^health$"]  # a monitor on this machine asks past the proxy
SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
SECURE_REFERRER_POLICY = "same-origin"
# Plain HTTP on a local network has no secure context, and browsers complain of this header there.
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin" if HTTPS else None
X_FRAME_OPTIONS = "DENY"
if HTTPS:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS if re.search("[a-z]", host)]

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "style-src": ["'self'"],
        "script-src": ["'self'"],
        "worker-src": ["'self'"],  # shop/reach.py
        "img-src": ["'self'", "data:"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}

LANGUAGE_CODE = "en-us"
USE_I18N = False
USE_TZ = True
TIME_ZONE, TIME_ZONE_IS_FIXED = environment.time_zone()

STATIC_URL = "static/"
# No STATIC_ROOT: files are served from where they are written, with nothing to collect first.
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG
# Ours have their digest in the address (`static` in shop/jinja.py), so a phone may keep them for ever.
WHITENOISE_IMMUTABLE_FILE_TEST = r"/static/(style\.css|mark\.svg|icon|app\.webmanifest|guide/|plate/)"

DATA_UPLOAD_MAX_MEMORY_SIZE = 10 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 20_000

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"one_line": {"()": "shop.journal.logs.OneLine"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "one_line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    # Django's own would write its lines a second time, with a trace for each refusal.
    "loggers": {
        "django": {"handlers": [], "propagate": True},
        "gripbook.acts": {"handlers": [], "propagate": False},  # gets its file from `serve`
    },
}
