"""The WSGI application that `serve` and any other server run."""

import os

from django.core.wsgi import get_wsgi_application

from shop.allocation import keep_what_is_freed

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
keep_what_is_freed()
application = get_wsgi_application()
