"""Settings of the workshop's installation: only what differs from Django's defaults.

Everything that changes from one machine to the next comes from the environment:

DATABASE_URL      where the records are; default: SQLite in the data folder
FERRULEBOOK_DATA  the data folder: database, papers, key and the copy of the ledger's heads
FERRULEBOOK_HOSTS further names under which the workshop's machine is reached, comma-separated
FERRULEBOOK_PROXY address of a proxy in front that speaks HTTPS: everybody has to come by it
FERRULEBOOK_DEBUG any value: Django's debug pages, for developers
"""

import os
import secrets
import socket
from pathlib import Path

import dj_database_url

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("FERRULEBOOK_DATA", BASE_DIR / ".data"))
DATA_DIR.mkdir(mode=0o700, parents=True, exist_ok=True)  # customers, password hashes and the key are in it


def _secret_key(path: Path) -> str:
    """The key that signs sessions: made on first start, kept beside the database."""
    if not path.exists():
        path.touch(mode=0o600)
        path.write_text(secrets.token_urlsafe(50))
    return path.read_text()


SECRET_KEY = _secret_key(DATA_DIR / "secret_key")
DEBUG = bool(os.environ.get("FERRULEBOOK_DEBUG"))
# shop.web.hosts asks, since Django has no word for "any address by number" and none for the tags' one.
ALLOWED_HOSTS = ["*"]
_MACHINE = socket.gethostname().lower()
_FURTHER = os.environ.get("FERRULEBOOK_HOSTS", "").lower().split(",")
HOST_NAMES = {"localhost", _MACHINE, f"{_MACHINE}.local", *_FURTHER} - {""}

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "django_filters",
    "django_htmx",
    "django_tables2",
    "shop.people",
    "shop.ledger",
    "shop.policy",
    "shop.standards",
    "shop.catalogue",
    "shop.tooling",
    "shop.stock",
    "shop.authority",
    "shop.orders",
    "shop.assemblies",
    "shop.trace",
    "shop.documents",
    "shop.web",
    "shop.demo",
]

MIDDLEWARE = [
    "shop.web.workshop.WorkshopOnce",
    "shop.web.hosts.KnownHost",
    "shop.web.headers.ContentPolicy",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "shop.web.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.web.context.sheet",
            ],
        },
    },
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"

DATABASES = {
    "default": dj_database_url.config(default=f"sqlite:///{DATA_DIR / 'workshop.sqlite3'}"),
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["ENGINE"] = "shop.core.sqlite"  # Django's, where threads write in turn
    # IMMEDIATE: a transaction that reads first and writes later must not fail with "database is
    # locked" when another bench writes in between. FULL: a record that was acknowledged survives
    # a power cut.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.User"
LOGIN_URL = "web:sign_in"
LOGIN_REDIRECT_URL = "web:home"
# Sessions live in signed cookies: looking around never writes to the database. They last for a shift,
# since nobody can call a cookie back, and a tablet that was left lying is signed out by the next one.
SESSION_ENGINE = "django.contrib.sessions.backends.signed_cookies"
SESSION_COOKIE_AGE = 12 * 60 * 60
# A workshop's own network mostly has no HTTPS; where a proxy brings it, cookies go no other way.
HTTPS_PROXY = os.environ.get("FERRULEBOOK_PROXY", "")
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = bool(HTTPS_PROXY)
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"

# Times are kept in UTC; shop.policy's workshop row says in which zone they are shown.
TIME_ZONE = "UTC"
USE_I18N = False

STATIC_URL = "/static/"
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = DATA_DIR / "files"

FILTERS_EMPTY_CHOICE_LABEL = "any"
DJANGO_TABLES2_TEMPLATE = "web/parts/table.html"
