"""What any test may ask for."""

import pytest
from django.core.cache import cache
from django.test import Client

from tests import factories


@pytest.fixture(autouse=True)
def _quick_passwords(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def machinist(db):
    return factories.user("machinist")


@pytest.fixture
def keeper(db):
    return factories.user("keeper")


@pytest.fixture
def purchasing(db):
    return factories.user("purchasing")


@pytest.fixture
def administrator(db):
    return factories.user("administrator")


@pytest.fixture
def client_of(db):
    """A browser in which somebody of this role, or this person, is signed in; None signs nobody in."""

    def client_of(role):
        client = Client()
        if role is not None:
            client.force_login(
                factories.user(role) if isinstance(role, str) else role,
                backend="django.contrib.auth.backends.ModelBackend",
            )
        return client

    return client_of


@pytest.fixture(autouse=True)
def nothing_remembered():
    """What a page remembers of the day's questions ends with the test."""
    cache.clear()
