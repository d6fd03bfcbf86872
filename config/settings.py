"""Settings, all from the environment; `.env.example` lists the names.

RIGWRIGHT_MODE is `demo` (the default: invented data, demo accounts, plain http),
`production` (behind a TLS proxy) or `test`.
"""

from config import env
from config.paths import PROJECT, data_folder, read_addresses

MODE = env.mode()
DATA_FOLDER = data_folder()
DEMO = MODE == "demo"
PRODUCTION = MODE == "production"

SECRET_KEY = env.secret_key(MODE, DATA_FOLDER)
DEBUG = DEMO and env.flag("RIGWRIGHT_DEBUG")
ALLOWED_HOSTS = env.words("RIGWRIGHT_HOSTS", "localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = env.words("RIGWRIGHT_ORIGINS")

# --- Servers -------------------------------------------------------------------------------
# Explicit addresses win; else those of the embedded servers, when they run. The address with
# port 1 answers nowhere: commands that need no database still work, the others say so.
_embedded = read_addresses(DATA_FOLDER)
DATABASE_URL = env.text(
    "DATABASE_URL",
    _embedded["database"] if _embedded else "postgresql://rigwright@127.0.0.1:1/rigwright",
)
REDIS_URL = env.text("REDIS_URL", _embedded["redis"] if _embedded else "redis://127.0.0.1:1/0")
DATABASES = {"default": env.database(DATABASE_URL)}
# Only what may be lost: what a listening phone's last seconds held.
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.redis.RedisCache",
        "LOCATION": REDIS_URL,
        "KEY_PREFIX": "rigwright",
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- Rooms of the house --------------------------------------------------------------------
INSTALLED_APPS = [
    "rigs.people",
    "rigs.catalogue",
    "rigs.stock",
    "venues",
    "rigs.events",
    "rigs.systems",
    "rigs.packets",
    "rigs.tuning",
    "rigs.fleet",
    "rigs.demo",
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.postgres",
    "rest_framework",
    "drf_spectacular",
    "django_htmx",
    "csp",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "config.middleware.SignInForParts",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    # Every page asks for an account unless its view is marked login_not_required.
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [PROJECT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.debug",
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "config.context.site",
            ],
        },
    },
]

# --- Accounts ------------------------------------------------------------------------------
AUTH_USER_MODEL = "people.Person"
LOGIN_URL = "/sign-in/"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/sign-in/"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
if MODE == "test":
    PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

# --- Words and times -----------------------------------------------------------------------
LANGUAGE_CODE = "en-gb"
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = False

# --- Static files --------------------------------------------------------------------------
STATIC_URL = "/static/"
STATICFILES_DIRS = [PROJECT / "static"]
STATIC_ROOT = env.text("RIGWRIGHT_STATIC_ROOT", str(DATA_FOLDER / "staticfiles"))
_plain_static = DEBUG or MODE == "test"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if _plain_static
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = _plain_static
WHITENOISE_AUTOREFRESH = DEBUG
MEDIA_ROOT = DATA_FOLDER / "files"

# --- What a browser may load and send ------------------------------------------------------
_self, _none = "'self'", "'none'"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [_self],
        "script-src": [_self],
        "style-src": [_self],
        "img-src": [_self, "data:"],
        "object-src": [_none],
        "base-uri": [_none],
        "form-action": [_self],
        "frame-ancestors": [_none],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
if PRODUCTION:
    # The TLS proxy is the only door; it sets this header itself and drops any sent to it.
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_SSL_REDIRECT = True
    SECURE_REDIRECT_EXEMPT = [r"^healthy/$"]
    SECURE_HSTS_SECONDS = 365 * 24 * 3600
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

# --- Programs that talk to us --------------------------------------------------------------
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_PAGINATION_CLASS": "rest_framework.pagination.PageNumberPagination",
    "PAGE_SIZE": 100,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Rigwright",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PERMISSIONS": ["rest_framework.permissions.IsAuthenticated"],
}

# --- Log -----------------------------------------------------------------------------------
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": env.text("RIGWRIGHT_LOG", "WARNING")},
    "loggers": {
        "django": {"handlers": [], "level": "WARNING", "propagate": True},
        # A refused page is an answer, not a fault: no traceback for each of them.
        "django.request": {"level": "ERROR"},
    },
}
