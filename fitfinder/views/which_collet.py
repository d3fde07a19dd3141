"""Which series a collet without a mark can be, by what was measured on it."""

from django.shortcuts import render
from django.views.decorators.http import require_GET

from fitfinder import crib
from fitfinder.identify.form import WhichColletForm
from fitfinder.identify.reader import all_bodies
from fitfinder.identify.which_collet import allowances, identify


@require_GET
def which_collet(request):
    is_asked = any(name in request.GET for name in WhichColletForm.base_fields)
    form = WhichColletForm(request.GET if is_asked else None)
    identified = identify(form.measured, all_bodies()) if form.is_valid() else None
    return render(
        request,
        "fitfinder/which_collet.html",
        {
            "place": "tooling",
            "form": form,
            "identified": identified,
            "series": crib.series_codes() if identified else (),
            "allowances": allowances(),
        },
    )
