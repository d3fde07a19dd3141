"""The finder's addresses."""

from django.urls import path

from fitfinder.views.arithmetic import arithmetic, arithmetic_list
from fitfinder.views.find import find
from fitfinder.views.find_json import find_json
from fitfinder.views.plan import plan, plan_as_json, way

urlpatterns = [
    path("", find, name="find"),
    path("find.json", find_json, name="find_json"),
    path("arithmetic/", arithmetic_list, name="arithmetic_list"),
    path("arithmetic/<slug:name>/", arithmetic, name="arithmetic"),
    path("plan/", plan, name="plan"),
    path("plan/<slug:slug>/", way, name="plan_way"),
    path("plan.json", plan_as_json, name="plan_json"),
]
