"""The people, for the administrators; all else has its own pages."""

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.models import Group

from inventory.models import User

admin.site.site_header = admin.site.site_title = "Gripbook: people"
admin.site.unregister(Group)


@admin.register(User)
class PersonAdmin(UserAdmin):
    """Rights follow from the role, so that there is no box for them."""

    list_display = ("username", "first_name", "last_name", "role", "is_active")
    list_filter = ("role", "is_active")
    filter_horizontal = ()
    fieldsets = (
        (None, {"fields": ("username", "password", "role", "is_active")}),
        ("Name", {"fields": ("first_name", "last_name")}),
        ("Dates", {"fields": ("last_login", "date_joined")}),
    )
    add_fieldsets = ((None, {"classes": ("wide",), "fields": ("username", "role", "password1", "password2")}),)

    def lookup_allowed(self, lookup, value, request) -> bool:
        # Any other column could be asked by address for what a database does not take, like the year -1.
        return lookup.partition("__")[0] in self.list_filter

    def get_object(self, request, object_id, from_field=None):
        # The library would look for a column without a name where the address has an empty one.
        return super().get_object(request, object_id, from_field or None)

    def save_model(self, request, obj, form, change) -> None:
        # Whoever enters a person knows the password.
        obj.must_change_password = obj.must_change_password or not change
        super().save_model(request, obj, form, change)

    def has_delete_permission(self, request, obj=None) -> bool:
        # What a person wrote down stays theirs: a sign-in is closed instead.
        return False
