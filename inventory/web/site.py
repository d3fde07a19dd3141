"""The address of the site, as other machines of the shop open it."""

from urllib.parse import urlsplit

from django.conf import settings

_ONLY_HERE = {"localhost", "127.0.0.1", "::1"}


def site_of(request) -> str:
    """The address that was set for the site, else the one that was asked; without a slash at its end."""
    return settings.PUBLIC_URL or request.build_absolute_uri("/").rstrip("/")


def is_only_here(address: str) -> bool:
    """Whether this address leads any machine to itself, and no other one to this."""
    return urlsplit(address).hostname in _ONLY_HERE
