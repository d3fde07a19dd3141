"""Where to go after a button was pressed."""

from django.shortcuts import redirect, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme


def safe_redirect(request, otherwise, *args):
    """To the page of ours that the form names in `next`, else to `otherwise`."""
    address = request.POST.get("next", "")
    if address.startswith("/") and url_has_allowed_host_and_scheme(
        address, allowed_hosts=None, require_https=request.is_secure()
    ):
        return redirect(address)
    return redirect(resolve_url(otherwise, *args))
