"""Pages of the demo crib that the guides send to: an address as it is, or words for one that has to be made first."""

from django.urls import reverse
from django.utils import timezone

from inventory.keeping import counting
from inventory.models import Location, SetupSheet, User, Want
from tests import factories

SHEET = "Tag,Kind,Series,Size\nC-0911,collet,5C,7/16\nC-0912,collet,5C,half an inch\n"


def _place():
    return reverse("place", args=[Location.objects.get(name="E4").pk])


def _count():
    by = User.objects.filter(role="keeper").first()
    return reverse("count", args=[counting.begin(Location.objects.get(name="E4"), by=by, at=timezone.now()).pk])


def _receive():
    wants = Want.objects.filter(state="ordered", size__isnull=False)
    return reverse("want_receive", args=[wants.first().pk])


def _sheet_to_match():
    return reverse("import_match", args=[factories.sheet_in_progress(SHEET).sent.pk])


def _sheet_read():
    return reverse("import_preview", args=[factories.sheet_read(SHEET).sent.pk])


def _setup_sheet():
    """The one whose pieces wait for tomorrow."""
    return SetupSheet.objects.exclude(reservations=None).first().get_absolute_url()


def _reserve():
    return reverse("setup_reserve", args=[SetupSheet.objects.first().pk])


_MADE = {
    "setup sheet": _setup_sheet,
    "reserve for a job": _reserve,
    "place E4": _place,
    "count of E4": _count,
    "receive 7/8": _receive,
    "sheet to match": _sheet_to_match,
    "sheet that was read": _sheet_read,
}


def address_of(at: str) -> str:
    """The address that `at` means, with the rows made that it needs."""
    return at if at.startswith("/") else _MADE[at]()
