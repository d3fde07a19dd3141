"""How the site is reached: from a phone of the shop, by a monitor, and what a browser shows where it is not.

The one script of the product shows “The shop's computer cannot be reached”, and no page needs it. Loaded by a page it
registers itself as that browser's service worker, where the browser has such (https, or this very machine); there it
keeps the page, and gives it for an address that could not be fetched at all; without the page the browser says so
itself. Whatever a server answers is what is shown.

For whoever is signed in it keeps the pocket card beside it (`reach_card.js`), and then gives that, with the words of
the page above it. The card names no person, but is for those who may see the crib: it is fetched anew after a quarter
of an hour, and taken away by the press on Sign out, and wherever the site asks to sign in. It keeps nothing else, and
nothing older.
"""

import base64
import hashlib
import re
from pathlib import Path
from urllib.parse import urlsplit

from csp.decorators import csp_update
from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_safe

from inventory.labels.codes import code
from inventory.web.site import is_only_here, site_of
from shop.server import network

_HERE = Path(__file__).resolve().parent
_SCRIPT = (_HERE / "reach.js").read_text(encoding="utf-8")
_CARD_SCRIPT = (_HERE / "reach_card.js").read_text(encoding="utf-8")
# In the page itself, the only one that no server may be near to give a style sheet to; the policy knows it by its hash.
# The typeface, a file of its own, is left out.
STYLE = re.sub("@font-face {[^}]*}", "", (_HERE / "static" / "style.css").read_text(encoding="utf-8"))
_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()


@require_GET
def phone(request: HttpRequest) -> HttpResponse:
    """The address that another device opens, as a code to point its camera at."""
    address = site_of(request) if settings.PUBLIC_URL else _from_elsewhere(site_of(request))
    context = {
        "place": "desk",
        "address": address,
        "code": code(address),
        "is_only_here": is_only_here(address),
    }
    return render(request, "shop/phone.html", context)


def _from_elsewhere(address: str) -> str:
    """The same address as other machines of the shop write it."""
    if not is_only_here(address):
        return address
    asked = urlsplit(address)
    port = f":{asked.port}" if asked.port else ""
    return f"{asked.scheme}://{network.local_address()}{port}"


@login_not_required
@never_cache
@require_safe
def health(request: HttpRequest) -> HttpResponse:
    """What a monitor asks to know whether the site is up."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return HttpResponse("the database cannot be reached", status=503, content_type="text/plain")
    return HttpResponse("ok", content_type="text/plain")


def page_out_of_reach() -> str:
    """The page by itself, for a browser to keep and for a proxy to show: it asks for no other file."""
    return render_to_string("shop/out_of_reach.html", {"style": STYLE})


@login_not_required
@csp_update({"style-src": [f"'sha256-{_HASH}'"]})
@require_safe
def out_of_reach(request: HttpRequest) -> HttpResponse:
    return HttpResponse(page_out_of_reach())


@login_not_required
@never_cache
@require_safe
def reach_script(request: HttpRequest) -> HttpResponse:
    """The digest in it makes a browser fetch the page anew when the page has changed."""
    digest = hashlib.sha256(page_out_of_reach().encode()).hexdigest()[:12]
    return HttpResponse(_SCRIPT.replace("DIGEST", digest), content_type="text/javascript; charset=utf-8")


@login_not_required
@never_cache
@require_safe
def reach_card_script(request: HttpRequest) -> HttpResponse:
    return HttpResponse(_CARD_SCRIPT, content_type="text/javascript; charset=utf-8")
