"""The finder's addresses."""

from django.urls import path

from fitfinder.views import setup_sheets
from fitfinder.views.arithmetic import arithmetic, arithmetic_list
from fitfinder.views.find import find
from fitfinder.views.find_json import find_json
from fitfinder.views.minutes import working_minutes
from fitfinder.views.plan import plan, plan_as_json, way
from fitfinder.views.which_collet import which_collet

urlpatterns = [
    path("", find, name="find"),
    path("tooling/which-collet/", which_collet, name="which_collet"),
    path("find.json", find_json, name="find_json"),
    path("arithmetic/", arithmetic_list, name="arithmetic_list"),
    path("arithmetic/<slug:name>/", arithmetic, name="arithmetic"),
    path("plan/", plan, name="plan"),
    path("plan/minutes/", working_minutes, name="working_minutes"),
    path("plan/sheets/", setup_sheets.setup_sheets, name="setup_sheets"),
    path("plan/sheets/<int:pk>/", setup_sheets.setup_sheet, name="setup_sheet"),
    path("plan/sheets/<int:pk>/issue/", setup_sheets.setup_issue, name="setup_issue"),
    path("plan/sheets/<int:pk>/return/", setup_sheets.setup_return, name="setup_return"),
    path("plan/sheets/<int:pk>/put-away/", setup_sheets.setup_put_away, name="setup_put_away"),
    path("plan/<slug:slug>/", way, name="plan_way"),
    path("plan/<slug:slug>/keep/", setup_sheets.setup_keep, name="setup_keep"),
    path("plan.json", plan_as_json, name="plan_json"),
]
