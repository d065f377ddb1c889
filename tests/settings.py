"""Settings of the test run: production's, but fast and over plain http.

DATABASE_URL moves the run to PostgreSQL; otherwise it uses an SQLite file of its own, because
several threads cannot share a database in memory the way they share a file.
"""

import os

os.environ.pop("DEMO", None)
os.environ.pop("DEBUG", None)
os.environ["SECRET_KEY"] = "only-for-tests-" + "0123456789" * 5
os.environ["ALLOWED_HOSTS"] = "testserver,localhost,127.0.0.1"

from labcases.settings import *  # noqa: F403
from labcases.settings import BASE_DIR, DATABASES

DATA_DIR = BASE_DIR / ".data" / "test"
DATA_DIR.mkdir(parents=True, exist_ok=True)
MEDIA_ROOT = DATA_DIR / "media"
STATIC_ROOT = DATA_DIR / "static"
(STATIC_ROOT).mkdir(parents=True, exist_ok=True)

# The process number keeps two runs in one folder apart.
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["TEST"] = {"NAME": str(DATA_DIR / f"db-{os.getpid()}.sqlite3")}
    DATABASES["default"]["OPTIONS"]["init_command"] = (
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF;"
    )
else:
    DATABASES["default"]["TEST"] = {"NAME": f"test_labcases_{os.getpid()}"}
    DATABASES["default"]["CONN_MAX_AGE"] = 0

STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
AXES_ENABLED = False

# The live server of the browser tests speaks plain http.
SECURE_SSL_REDIRECT = False
SECURE_HSTS_SECONDS = 0
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = False
SESSION_COOKIE_NAME = "session"
CSRF_COOKIE_NAME = "csrf"
