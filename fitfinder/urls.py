"""The finder's addresses."""

from django.urls import path, re_path

from fitfinder.views import seating, setup_drafts, setup_runs, setup_sheets
from fitfinder.views.arithmetic import arithmetic, arithmetic_list
from fitfinder.views.board import board_sheet, series_board
from fitfinder.views.buy import buy_want, what_to_buy
from fitfinder.views.buying import buying
from fitfinder.views.card import card_download, card_open, pocket_card
from fitfinder.views.demand import demand, demand_add, demand_drop, demand_edit
from fitfinder.views.find import find
from fitfinder.views.find_json import find_json
from fitfinder.views.minutes import surface_speeds, working_minutes
from fitfinder.views.plan import plan, plan_as_json, way
from fitfinder.views.short import blanks, lead_time, short
from fitfinder.views.tooling import tool_list
from fitfinder.views.which_collet import which_collet

urlpatterns = [
    path("", find, name="find"),
    path("find.json", find_json, name="find_json"),
    path("tooling/", tool_list, name="tool_list"),
    path("card/", pocket_card, name="card"),
    path("card/open/", card_open, name="card_open"),
    path("card/pocket-card.html", card_download, name="card_download"),
    path("tooling/which-collet/", which_collet, name="which_collet"),
    path("buying/", buying, name="buying"),
    path("buying/short/", short, name="short"),
    path("buying/short/lead-time/", lead_time, name="lead_time"),
    path("buying/blanks/", blanks, name="blanks"),
    path("buying/board/<str:series>/<slug:shape>/", series_board, name="board"),
    path("buying/board/<str:series>/<slug:shape>/sheet.csv", board_sheet, name="board_sheet"),
    path("buying/demand/", demand, name="demand"),
    path("buying/demand/add/", demand_add, name="demand_add"),
    path("buying/demand/<int:pk>/edit/", demand_edit, name="demand_edit"),
    path("buying/demand/<int:pk>/drop/", demand_drop, name="demand_drop"),
    path("buying/buy/", what_to_buy, name="buy"),
    path("buying/buy/want/", buy_want, name="buy_want"),
    path("arithmetic/", arithmetic_list, name="arithmetic_list"),
    path("arithmetic/<slug:name>/", arithmetic, name="arithmetic"),
    path("plan/", plan, name="plan"),
    path("plan/minutes/", working_minutes, name="working_minutes"),
    path("plan/speeds/", surface_speeds, name="surface_speeds"),
    path("plan/sheets/", setup_sheets.setup_sheets, name="setup_sheets"),
    path("plan/sheets/add/", setup_drafts.setup_add, name="setup_add"),
    path("plan/sheets/photos/<int:pk>/", setup_drafts.setup_photo, name="setup_photo"),
    path("plan/sheets/<int:pk>/", setup_sheets.setup_sheet, name="setup_sheet"),
    path("plan/sheets/<int:pk>/issue/", setup_sheets.setup_issue, name="setup_issue"),
    path("plan/sheets/<int:pk>/return/", setup_sheets.setup_return, name="setup_return"),
    path("plan/sheets/<int:pk>/put-away/", setup_sheets.setup_put_away, name="setup_put_away"),
    path("plan/sheets/<int:pk>/edit/", setup_drafts.setup_edit, name="setup_edit"),
    path("plan/sheets/<int:pk>/runs/add/", setup_runs.setup_run, name="setup_run"),
    path("plan/sheets/<int:pk>/use/", setup_drafts.setup_use, name="setup_use"),
    path("plan/sheets/<int:pk>/revision/", setup_drafts.setup_revise, name="setup_revise"),
    path("plan/sheets/<int:pk>/photo/", setup_drafts.setup_photo_add, name="setup_photo_add"),
    path("plan/sheets/<int:pk>/operations/add/", setup_drafts.setup_operation_add, name="setup_operation_add"),
    path("plan/sheets/<int:pk>/operations/<int:operation>/", setup_drafts.setup_operation, name="setup_operation"),
    re_path(
        r"^plan/sheets/(?P<pk>[0-9]+)/operations/(?P<operation>[0-9]+)/(?P<act>earlier|later|remove|back)/$",
        setup_drafts.setup_operation_act,
        name="setup_operation_act",
    ),
    path("plan/tailstock/<int:pk>/", seating.tailstock, name="tailstock"),
    path("plan/center/", seating.center, name="which_center"),
    path("plan/holder/", seating.holder, name="which_holder"),
    path("plan/<slug:slug>/", way, name="plan_way"),
    path("plan/<slug:slug>/keep/", setup_sheets.setup_keep, name="setup_keep"),
    path("plan.json", plan_as_json, name="plan_json"),
]
