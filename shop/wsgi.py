"""The WSGI application that `serve` and any other server run."""

import os

import django
from django.core.handlers.wsgi import WSGIHandler

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
django.setup(set_prefix=False)

from shop.incoming import PlainRequest  # noqa: E402 - what it imports asks for the settings


class Application(WSGIHandler):
    request_class = PlainRequest


application = Application()
