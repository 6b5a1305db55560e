"""Settings of the test suite: the workshop's, with a data folder that vanishes."""

import atexit
import os
import shutil
import tempfile

if "FERRULEBOOK_DATA" not in os.environ:
    os.environ["FERRULEBOOK_DATA"] = tempfile.mkdtemp(prefix="ferrulebook-tests-")
    atexit.register(shutil.rmtree, os.environ["FERRULEBOOK_DATA"])

from shop.settings import *  # noqa: F403
from shop.settings import DATABASES as WORKSHOP_DATABASES
from shop.settings import HOST_NAMES as WORKSHOP_NAMES
from shop.settings import INSTALLED_APPS as WORKSHOP_APPS

INSTALLED_APPS = [*WORKSHOP_APPS, "tests.ledger.testapp"]
HOST_NAMES = WORKSHOP_NAMES | {"testserver"}  # what Django's test client calls it

DATABASES = WORKSHOP_DATABASES
if DATABASES["default"]["ENGINE"] == "shop.core.sqlite":
    DATABASES["default"]["TEST"] = {"NAME": ":memory:"}  # as pytest-django would say of Django's own SQLite

# Signing people in happens in most tests; a slow hash would be most of their time.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
