"""The page that hands an administrator a backup."""

import tempfile

from django.contrib import messages
from django.db import DatabaseError
from django.http import FileResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from inventory.models import Deed, DeedAct, Tool, User
from inventory.web.access import PersonsRequest, administrators_only
from shop.backup.archive import BackupError
from shop.backup.making import write
from shop.trouble.failures import sentence_of


@require_http_methods(["GET", "POST"])
@never_cache
@administrators_only
def backup(request: PersonsRequest) -> HttpResponseBase:
    if request.method == "POST":
        return _hand_out(request)
    counts = {"pieces": Tool.objects.count(), "people": User.objects.count()}
    return render(request, "shop/backup.html", {"place": "desk", **counts})


def _hand_out(request: PersonsRequest) -> HttpResponseBase:
    name = f"gripbook-{timezone.now():%Y%m%d-%H%M%S}.zip"
    # Without a name on the disk, and gone when the answer is: it holds password hashes.
    file = tempfile.TemporaryFile()  # noqa: SIM115 - the answer closes it
    try:
        write(file, name=name)
    except (BackupError, DatabaseError) as error:
        file.close()
        words = sentence_of(error) if isinstance(error, DatabaseError) else str(error)
        messages.error(request, words)
        return redirect("backup")
    file.seek(0)
    Deed.objects.keep(DeedAct.BACKUP, name)
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")
