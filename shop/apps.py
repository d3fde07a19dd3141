from django.apps import AppConfig
from django.core.signals import request_started
from django.db.backends.signals import connection_created


class ShopConfig(AppConfig):
    name = "shop"

    def ready(self) -> None:
        from shop.book import book_file
        from shop.door import devices as _its_receivers  # noqa: F401  whoever signs in or is closed, in a command too
        from shop.trouble import opening_anew

        connection_created.connect(book_file.keep_private)
        request_started.connect(opening_anew.open_anew)
