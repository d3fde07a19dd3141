"""A view whose form and whose press are one."""

from functools import wraps

from django.db import transaction


def in_one_transaction(view):
    """All that is posted in one transaction; looking at the form takes no lock."""

    @wraps(view)
    def answered(request, *args, **kwargs):
        if request.method != "POST":
            return view(request, *args, **kwargs)
        with transaction.atomic():
            return view(request, *args, **kwargs)

    return answered
