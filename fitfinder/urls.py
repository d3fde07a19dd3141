"""The finder's addresses."""

from django.urls import path

from fitfinder.views.arithmetic import arithmetic, arithmetic_list
from fitfinder.views.find import find
from fitfinder.views.find_json import find_json

urlpatterns = [
    path("", find, name="find"),
    path("find.json", find_json, name="find_json"),
    path("arithmetic/", arithmetic_list, name="arithmetic_list"),
    path("arithmetic/<slug:name>/", arithmetic, name="arithmetic"),
]
