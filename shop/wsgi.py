"""The web server's way in. It does not start on a database that would let records be changed."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
application = get_wsgi_application()

from shop.ledger.triggers import ensure_triggers  # noqa: E402  # needs the apps that the line above loads

ensure_triggers()
