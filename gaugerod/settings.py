"""All settings, in one file, from the environment; safe defaults for one laptop.

Nothing needs to be set to try the program: SQLite, no broker, mail to the console.
README lists every variable; a test compares that table with this file.
"""

from __future__ import annotations

import secrets
from pathlib import Path

import environ
from csp.constants import NONCE, NONE, SELF

from gaugerod.env import (
    env_bool,
    env_choice,
    env_int,
    env_list,
    env_secret,
    env_text,
)

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(env_text("GAUGEROD_VAR", str(BASE_DIR / "var")))
BUSINESS = env_text("GAUGEROD_BUSINESS", "demo")


def _secret_key() -> str:
    """Return the configured key, or one made once and kept for the owner only."""
    given = env_secret("GAUGEROD_SECRET_KEY")
    if given:
        return given
    place = VAR_DIR / "secret-key"
    if not place.exists():
        VAR_DIR.mkdir(parents=True, exist_ok=True)
        place.touch(mode=0o600)
        place.write_text(secrets.token_urlsafe(50), encoding="utf-8")
    return place.read_text(encoding="utf-8").strip()


DEBUG = env_bool("GAUGEROD_DEBUG", default=False)
SECRET_KEY = _secret_key()
ALLOWED_HOSTS = env_list("GAUGEROD_HOSTS", "127.0.0.1,localhost,[::1]")
HTTPS = env_bool("GAUGEROD_HTTPS", default=False)
CSRF_TRUSTED_ORIGINS = env_list("GAUGEROD_ORIGINS", "")
# Proxies of our own before the program: so many last entries of X-Forwarded-For are
# theirs. With none that header is a stranger's claim.
PROXIES = env_int("GAUGEROD_PROXIES", 0)

INSTALLED_APPS = [
    "gaugerod",
    "materials",
    "quotes",
    "jobs",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "djmoney",
    "csp",
    "axes",
    "allauth",
    "allauth.account",
    "allauth.mfa",
]

# What puts headers on answers stands before whatever answers early: SecurityMiddleware
# redirects to HTTPS or refuses a host, and WhiteNoise hands out files.
MIDDLEWARE = [
    "gaugerod.headers.guard_every_answer",
    "csp.middleware.CSPMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "gaugerod.refusals.refuse_large_bodies",
    "gaugerod.language.speak_as_the_business",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "gaugerod.sessions.hold_to_the_limits",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "gaugerod.second_step.AskForASecondFactor",
    "django.contrib.messages.middleware.MessageMiddleware",
    "axes.middleware.AxesMiddleware",
    "gaugerod.refusals.HoldBack",
]

ROOT_URLCONF = "gaugerod.urls"
WSGI_APPLICATION = "gaugerod.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "csp.context_processors.nonce",
                "gaugerod.language.the_business",
            ],
            "builtins": ["django.templatetags.i18n", "django.templatetags.static"],
        },
    },
]

DATABASES = {
    "default": environ.Env.db_url_config(
        env_text("DATABASE_URL", f"sqlite:///{VAR_DIR / BUSINESS}.sqlite3")
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # Write transactions take the lock at their start (a read that turns into a write
    # cannot wait, it fails); the journal is synced at each commit: one business makes
    # less than a write a second, and money must survive a power cut. Triggers see the
    # row that an INSERT OR REPLACE throws out, too.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": (
            "PRAGMA journal_mode=DELETE; PRAGMA synchronous=EXTRA; "
            "PRAGMA recursive_triggers=ON;"
        ),
    }
    # A file, not memory: rivals in several threads must meet on one database.
    DATABASES["default"]["TEST"] = {"NAME": str(VAR_DIR / "test.sqlite3")}
else:
    DATABASES["default"]["CONN_MAX_AGE"] = 60
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True

AUTH_USER_MODEL = "materials.Person"
# The first refuses before the second hashes; what it counts stands in services/lockout.
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AXES_HANDLER = "materials.services.lockout.Lockout"
AXES_LOCKOUT_CALLABLE = "materials.services.lockout.same_answer"
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_LOCKOUT_PARAMETERS = ["username", "ip_address"]
AXES_VERBOSE = False
AXES_ENABLE_ADMIN = False
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
# A second factor: never asked for, asked of whoever set one up, or asked of everybody.
SECOND_FACTOR = env_choice(
    "GAUGEROD_SECOND_FACTOR",
    "off" if BUSINESS == "demo" else "offered",
    ("off", "offered", "required"),
)
MFA_ADAPTER = "materials.services.second_factor.Adapter"
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes", "webauthn"]
MFA_TOTP_TOLERANCE = 1
# Of allauth only the second factors are used: sign-in, throttle and mail are our own.
ACCOUNT_RATE_LIMITS = False
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGIN_METHODS = {"username"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 15},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": (
            "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"
        )
    },
    {"NAME": "materials.services.passwords.NotTooLong"},
    {"NAME": "materials.services.passwords.NoSecret"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign-in"

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "British English"), ("en-us", "American English")]
LOCALE_PATHS = [BASE_DIR / "gaugerod" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = env_text("GAUGEROD_TIME_ZONE", "UTC")

# Fixed before the first migration: the list is written into migrations.
CURRENCIES = ("AUD", "CAD", "CHF", "DKK", "EUR", "GBP", "JPY", "KWD", "NOK", "NZD",
              "PLN", "SEK", "USD")  # fmt: skip
AUTO_CONVERT_MONEY = False

STATIC_URL = "/static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = VAR_DIR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
WHITENOISE_USE_FINDERS = True
WHITENOISE_ALLOW_ALL_ORIGINS = False
MEDIA_ROOT = VAR_DIR / f"media-{BUSINESS}"
DATA_UPLOAD_MAX_MEMORY_SIZE = 15 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5_000
# A photo too large is refused beside its form, which keeps what was typed; only what
# no form here could be is not read at all.
MOST_BODY = 64 * 1024 * 1024

# Without a mail server letters are written into files, to be looked at.
EMAIL_HOST = env_text("GAUGEROD_SMTP_HOST", "")
EMAIL_PORT = env_int("GAUGEROD_SMTP_PORT", 587)
EMAIL_HOST_USER = env_text("GAUGEROD_SMTP_USER", "")
EMAIL_HOST_PASSWORD = env_secret("GAUGEROD_SMTP_PASSWORD") or ""
_SMTP_SECURITY = env_choice(
    "GAUGEROD_SMTP_SECURITY", "starttls", ("starttls", "tls", "none")
)
EMAIL_USE_TLS = _SMTP_SECURITY == "starttls"
EMAIL_USE_SSL = _SMTP_SECURITY == "tls"
EMAIL_TIMEOUT = 15
EMAIL_FILE_PATH = VAR_DIR / f"mail-{BUSINESS}"
_MAIL = "django.core.mail.backends"
EMAIL_BACKEND = env_text(
    "GAUGEROD_MAIL_BACKEND",
    f"{_MAIL}.smtp.EmailBackend" if EMAIL_HOST else f"{_MAIL}.filebased.EmailBackend",
)
DEFAULT_FROM_EMAIL = env_text("GAUGEROD_MAIL_FROM", "post@localhost")

# The broker only rings; what must be done stands in the outbox table.
REDIS_URL = env_text("REDIS_URL", "")
CELERY_BROKER_URL = REDIS_URL or "memory://"
CELERY_TASK_ALWAYS_EAGER = not REDIS_URL
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]
# A message is dropped when its work is done, and handed to another when a worker dies.
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_MAX_TASKS_PER_CHILD = 200
CELERY_TASK_TIME_LIMIT = 150
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_MAX_RETRIES = None
if REDIS_URL:
    # Longer than any task; unseen messages are looked for every ten seconds.
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "visibility_timeout": 300,
        "unacked_restore_interval": 10,
        "unacked_restore_throttle": 1,
        "socket_connect_timeout": 1,
        "socket_timeout": 3,
        "health_check_interval": 10,
        # Who rings does not wait for a broker that is away; the sweeper is there.
        "max_retries": 1,
        "interval_start": 0,
        "interval_step": 0.1,
    }
OUTBOX_SWEEP = env_int("GAUGEROD_OUTBOX_SWEEP", 60)
CELERY_BEAT_SCHEDULE_FILENAME = str(VAR_DIR / "celerybeat-schedule")
CELERY_BEAT_SCHEDULE = {
    "sweep the outbox": {
        "task": "materials.sweep",
        "schedule": OUTBOX_SWEEP,
        "options": {"expires": max(1, OUTBOX_SWEEP - 10)},
    },
}
# Seconds after which a worker that does not answer is taken for dead; longer than
# the time limit above.
OUTBOX_LEASE = env_int("GAUGEROD_OUTBOX_LEASE", 180)

# Over TLS a browser takes a cookie so named only from this host, for all of it, and
# hands it to no other: a neighbour under the same domain cannot plant one.
_HOST_ONLY = "__Host-" if HTTPS else ""
SESSION_COOKIE_NAME = f"{_HOST_ONLY}sessionid"
CSRF_COOKIE_NAME = f"{_HOST_ONLY}csrftoken"
MESSAGE_STORAGE = "gaugerod.messages.Storage"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = HTTPS
# What a sign-in at a desk lasts, and how long in all: materials/core/session_limits.
SESSION_DAYS = env_int("GAUGEROD_SESSION_DAYS", 14)
SESSION_COOKIE_AGE = SESSION_DAYS * 24 * 3600
CSRF_COOKIE_SECURE = HTTPS
CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "gaugerod.refusals.csrf_failed"
SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_HSTS_PRELOAD = HTTPS
# "no-referrer" would make browsers send "Origin: null" with forms, which CSRF refuses.
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
if HTTPS:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF, NONCE],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "manifest-src": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "object-src": [NONE],
    }
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {
        "without_secrets": {"()": "gaugerod.logs.WithoutSecrets"},
        "not_too_often": {"()": "gaugerod.logs.NotTooOften"},
    },
    "formatters": {
        "in_utc": {
            "()": "gaugerod.logs.InUtc",
            "format": "%(asctime)s %(levelname)s %(name)s: %(message)s",
        }
    },
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "filters": ["without_secrets"],
            "formatter": "in_utc",
        }
    },
    "root": {"handlers": ["console"], "level": env_text("GAUGEROD_LOG", "WARNING")},
    # Django gives these two handlers of their own, which know nothing of the filter.
    "loggers": {
        "django": {"handlers": [], "propagate": True},
        "django.server": {"handlers": ["console"], "propagate": False},
        # Written whatever else is: a refusal is no matter of taste.
        "gaugerod.security": {"level": "INFO", "filters": ["not_too_often"]},
    },
}
