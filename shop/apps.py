from django.apps import AppConfig
from django.db.backends.signals import connection_created


class ShopConfig(AppConfig):
    name = "shop"

    def ready(self) -> None:
        from shop import book_file

        connection_created.connect(book_file.keep_private)
