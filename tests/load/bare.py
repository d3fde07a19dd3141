"""The site's addresses and two pages more: one answers with two bytes through the same middleware."""

from time import process_time

from django.http import HttpResponse
from django.urls import include, path

urlpatterns = [
    path("bare", lambda request: HttpResponse(b"ok"), name="bare"),
    path("spent", lambda request: HttpResponse(f"{process_time()}"), name="spent"),
    path("", include("shop.urls")),
]
