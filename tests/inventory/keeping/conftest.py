"""A book in which several processes meet."""

from urllib.parse import quote

import pytest
from django.db import connection


@pytest.fixture
def shared_book(transactional_db, request):
    """The address of an empty book: the tests' own on a server, a file where the tests' is in memory."""
    if connection.vendor == "sqlite":
        return f"sqlite:///{request.getfixturevalue('book_file')}"
    held = {name: quote(str(value), safe="") for name, value in connection.settings_dict.items()}
    return f"postgres://{held['USER']}:{held['PASSWORD']}@{held['HOST']}:{held['PORT']}/{held['NAME']}"
