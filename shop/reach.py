"""“The shop's computer cannot be reached”: the page, and the one script that shows it when no server can.

The script is the only one of the product, and no page needs it. Loaded by a page it registers itself as that browser's
service worker, where the browser has such (https, or this very machine); there it keeps the page, and gives it for an
address that could not be fetched at all; without the page the browser says so itself. It keeps nothing else, an older
page neither, and whatever a server answers is what is shown.
"""

import base64
import hashlib
from pathlib import Path

from csp.decorators import csp_update
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.template.loader import render_to_string
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

_HERE = Path(__file__).resolve().parent
_SCRIPT = (_HERE / "reach.js").read_text(encoding="utf-8")
# In the page itself, the only one that no server may be near to give a style sheet to; the policy knows it by its hash.
STYLE = (_HERE / "static" / "style.css").read_text(encoding="utf-8")
_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()


def page() -> str:
    """The page by itself, for a browser to keep and for a proxy to show: it asks for no other file."""
    return render_to_string("shop/out_of_reach.html", {"style": STYLE})


@login_not_required
@csp_update({"style-src": [f"'sha256-{_HASH}'"]})
@require_safe
def out_of_reach(request):
    return HttpResponse(page())


@login_not_required
@never_cache
@require_safe
def reach_script(request):
    """The digest in it makes a browser fetch the page anew when the page has changed."""
    digest = hashlib.sha256(page().encode()).hexdigest()[:12]
    return HttpResponse(_SCRIPT.replace("DIGEST", digest), content_type="text/javascript; charset=utf-8")
