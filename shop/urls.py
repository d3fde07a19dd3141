"""Every address of the site: the door here, the pages in the apps."""

from django.contrib import admin
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import include, path
from django.views.generic import RedirectView

from shop import reach, the_shop
from shop.backup.views import backup
from shop.door import devices, guards, people, second_factor, sign_in
from shop.guide.views import guide, guide_for
from shop.journal import administration
from shop.moved import to_buying, to_the_shop

handler400 = "shop.trouble.pages.bad_request"
handler403 = "shop.trouble.pages.forbidden"
handler404 = "shop.trouble.pages.not_found"
handler500 = "shop.trouble.pages.server_error"

urlpatterns = [
    # First, as an address is looked for from the top down, and the question is asked most and with least patience.
    path("", include("fitfinder.urls")),
    path("sign-in/", sign_in.SignIn.as_view(), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("sign-in/code/", second_factor.sign_in_code, name="sign_in_code"),
    path("confirm/", guards.confirm, name="confirm"),
    path("devices/", devices.devices, name="devices"),
    path("desk/second-factor/", second_factor.second_factor, name="second_factor"),
    path("password/", sign_in.PasswordChange.as_view(), name="password"),
    path("desk/people/", people.people, name="people"),
    path("desk/people/add/", people.person_add, name="person_add"),
    path("desk/people/<int:pk>/", people.person_edit, name="person_edit"),
    path("desk/shop/", the_shop.the_shop, name="the_shop"),
    path("desk/time-zone/", to_the_shop),
    path("mine/units/", the_shop.my_units, name="my_units"),
    path("desk/administration/", administration.administration, name="administration"),
    path("desk/phone/", reach.phone, name="phone"),
    path("health", reach.health, name="health"),
    path("guide/", guide, name="guide"),
    path("guide/<slug:slug>/", guide_for, name="guide_for"),
    path("out-of-reach/", reach.out_of_reach, name="out_of_reach"),
    path("reach.js", reach.reach_script, name="reach_script"),
    path("reach-card.js", reach.reach_card_script, name="reach_card_script"),
    path("desk/backup/", backup, name="backup"),
    # One door: the administration's own sign-in page leads to the shop's.
    path(
        "admin/login/",
        login_not_required(RedirectView.as_view(pattern_name="sign_in", query_string=True)),
    ),
    path("admin/", admin.site.urls),
    path("missing/", to_buying),
    path("missing/<path:rest>", to_buying),
    path("", include("inventory.urls")),
    path("", include("inventory.transfer.urls")),
]
