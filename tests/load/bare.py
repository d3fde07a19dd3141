"""The site's addresses and one page more, which answers with two bytes through the same middleware."""

from django.http import HttpResponse
from django.urls import include, path

urlpatterns = [
    path("bare", lambda request: HttpResponse(b"ok"), name="bare"),
    path("", include("shop.urls")),
]
