"""The finder's addresses."""

from django.urls import path

from fitfinder.views.arithmetic import arithmetic, arithmetic_list
from fitfinder.views.find import find
from fitfinder.views.find_json import find_json
from fitfinder.views.which_collet import which_collet

urlpatterns = [
    path("", find, name="find"),
    path("tooling/which-collet/", which_collet, name="which_collet"),
    path("find.json", find_json, name="find_json"),
    path("arithmetic/", arithmetic_list, name="arithmetic_list"),
    path("arithmetic/<slug:name>/", arithmetic, name="arithmetic"),
]
