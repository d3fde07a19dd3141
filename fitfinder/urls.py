"""The finder's addresses."""

from django.urls import path

from fitfinder.views.board import board_sheet, series_board
from fitfinder.views.buy import buy, buy_want
from fitfinder.views.demand import demand, demand_add, demand_drop, demand_edit
from fitfinder.views.find import find
from fitfinder.views.find_json import find_json

urlpatterns = [
    path("", find, name="find"),
    path("find.json", find_json, name="find_json"),
    path("missing/board/<slug:series>/<slug:shape>/", series_board, name="board"),
    path("missing/board/<slug:series>/<slug:shape>/sheet.csv", board_sheet, name="board_sheet"),
    path("missing/demand/", demand, name="demand"),
    path("missing/demand/add/", demand_add, name="demand_add"),
    path("missing/demand/<int:pk>/edit/", demand_edit, name="demand_edit"),
    path("missing/demand/<int:pk>/drop/", demand_drop, name="demand_drop"),
    path("missing/buy/", buy, name="buy"),
    path("missing/buy/want/", buy_want, name="buy_want"),
]
